// The way that a deflected tongue leaves open for the wind: over its tip and along both sides.
#pragma once

#include "core/quantity/quantity.hpp"
#include "core/tongue/reed.hpp"
#include "core/vibration/vibration.hpp"

#include <memory>
#include <vector>

namespace reedwright {

namespace kernel {
/// Area and its derivative by the height of the tip.
struct OpeningAt {
    double area_m2;
    double slope_m;
};
}  // namespace kernel

/// The area A(q) between a tongue and the edges of its slot,
///
///     A(q) = b(L) g(q) + 2 int_0^L g(q phi(x)) dx,     g(z) = sqrt(d(z)^2 + c^2),
///
/// q the height of the tip above the face that the tongue is mounted on, phi its first mode along the middle
/// (1 at the tip), c the clearance, T the plate's thickness, and d the distance to the slot: z above the face, 0
/// inside the plate, -z - T beyond it.
///
/// Assumes a slot with sharp edges that follows the tongue's outline, a tongue as wide as its middle line is high
/// (no twist, no curl), and nothing open at the root. The tongue's own thickness is not counted: T is the stretch over
/// which the gap stays at c. After Millot and Baumann 2007, Acta Acust. 93:122, who count the escape along the whole
/// tongue and the plate's thickness.
///
/// phi is taken straight between 256 places, where the integral is exact in closed form; that errs by less than 1e-5
/// of the area for a cantilever's shape. area() and slope() read a table of those integrals, within 1e-8 of the area
/// and 1e-6 of the steepest slope; farther than one length of tongue from the plate the integrals are done anew.
class Opening {
public:
    /// The shape along the middle from 0 to the length, ascending, at least two points. Throws InputError when the
    /// clearance is not above zero: a tongue without clearance does not swing through its slot.
    Opening(const std::vector<ShapePoint>& shape, Length tip_width, Length clearance, Length plate_thickness);

    /// The opening of a reed with its real first mode.
    static Opening of(const Reed& reed, const Vibration& vibration);
    /// With the mode of a uniform cantilever beam, phi = (cosh kx - cos kx - s (sinh kx - sin kx)) / 2, kL = 1.8751.
    static Opening of_uniform_beam(Length length, Length width, Length clearance, Length plate_thickness);

    Area area(Length tip_height) const;
    /// dA/dq, a length.
    Length slope(Length tip_height) const;
    /// The integral itself, without the table.
    Area integrated_area(Length tip_height) const;
    Length integrated_slope(Length tip_height) const;

    Length clearance() const;
    Length plate_thickness() const;
    Length tongue_length() const;

    kernel::OpeningAt at(double tip_height_m) const;
    double area_m2(double tip_height_m) const;

private:
    class Table;
    std::shared_ptr<const Table> table_;
};

/// phi of a uniform cantilever's first mode at a share of its length from the root, 1 at the tip.
double uniform_beam_shape(double share);

}  // namespace reedwright

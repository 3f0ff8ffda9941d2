// Legendre polynomials across the width and the integrals of their products.
//
// The deflection is w(x, y) = sum_j w_j(x) P_nj(2 y / B) with B the greatest width of the tongue, so
// that the polynomials do not move when the width changes along x; narrower places integrate over
// their own width. Flapping takes the even orders 0, 2, 4, 6, twisting the odd ones 1, 3, 5, 7.
#pragma once

#include <array>
#include <cstddef>

namespace reedwright::kernel {

enum class Parity { even, odd };

template <std::size_t Orders>
using CrossMatrix = std::array<std::array<double, Orders>, Orders>;

/// Integrals over the width at one place, lengths in metres.
template <std::size_t Orders>
struct CrossIntegrals {
    CrossMatrix<Orders> plain;        // of Q_i Q_j
    CrossMatrix<Orders> curved;       // of Q_i Q_j''
    CrossMatrix<Orders> both_curved;  // of Q_i'' Q_j''
    CrossMatrix<Orders> sloped;       // of Q_i' Q_j'
};

/// The part of the twisting integral that is missing near the free edges, of
/// Q_i' Q_j' exp(-d / c) with d the distance to the nearer edge, and its derivative by c.
template <std::size_t Orders>
struct EdgeIntegrals {
    CrossMatrix<Orders> softened;
    CrossMatrix<Orders> by_reach;
};

/// Values of the polynomials and their derivatives by y at one edge.
template <std::size_t Orders>
struct EdgeValues {
    std::array<double, Orders> value;
    std::array<double, Orders> slope;
    std::array<double, Orders> curvature;
};

template <std::size_t Orders>
class CrossSection {
public:
    CrossSection(Parity parity, double greatest_width_m);

    CrossIntegrals<Orders> integrals(double width_m) const;
    EdgeIntegrals<Orders> edge_integrals(double width_m, double reach_m) const;
    /// The first member of edge_integrals() alone.
    CrossMatrix<Orders> softened_integrals(double width_m, double reach_m) const;
    EdgeValues<Orders> edge_values(double width_m) const;
    /// Values on the middle line, y = 0.
    const std::array<double, Orders>& middle() const { return middle_; }
    double value(std::size_t order, double y_m) const;

private:
    Parity parity_;
    double width_m_;
    std::array<double, Orders> middle_;
};

}  // namespace reedwright::kernel

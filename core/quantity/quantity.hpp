// The physical quantities of reedwright: Boost.Units types under the names a reed maker would use.
//
// Everything public takes and returns these; a plain double in SI appears only inside a numerical
// kernel, where its name ends in its unit. Temperatures are absolute points (kelvin inside, degC at
// the border); a difference of temperatures is a type of its own. A pitch interval in cents is a
// dimension of its own too, so that it can be neither added to hertz nor mistaken for a ratio.
#pragma once

#include <boost/units/absolute.hpp>
#include <boost/units/base_dimension.hpp>
#include <boost/units/base_unit.hpp>
#include <boost/units/make_system.hpp>
#include <boost/units/physical_dimensions/surface_tension.hpp>
#include <boost/units/quantity.hpp>
#include <boost/units/systems/si/angular_velocity.hpp>
#include <boost/units/systems/si/area.hpp>
#include <boost/units/systems/si/dimensionless.hpp>
#include <boost/units/systems/si/dynamic_viscosity.hpp>
#include <boost/units/systems/si/energy.hpp>
#include <boost/units/systems/si/force.hpp>
#include <boost/units/systems/si/frequency.hpp>
#include <boost/units/systems/si/length.hpp>
#include <boost/units/systems/si/mass.hpp>
#include <boost/units/systems/si/mass_density.hpp>
#include <boost/units/systems/si/pressure.hpp>
#include <boost/units/systems/si/surface_tension.hpp>
#include <boost/units/systems/si/temperature.hpp>
#include <boost/units/systems/si/time.hpp>
#include <boost/units/systems/si/velocity.hpp>
#include <boost/units/systems/si/volume.hpp>

namespace reedwright {

namespace si = boost::units::si;

using Length = boost::units::quantity<si::length>;
using Area = boost::units::quantity<si::area>;
using Volume = boost::units::quantity<si::volume>;
using Mass = boost::units::quantity<si::mass>;
using Density = boost::units::quantity<si::mass_density>;
/// Pressures, stresses and elastic moduli.
using Pressure = boost::units::quantity<si::pressure>;
/// Cycles per second; a circular frequency is an AngularVelocity.
using Frequency = boost::units::quantity<si::frequency>;
using AngularVelocity = boost::units::quantity<si::angular_velocity>;
using Time = boost::units::quantity<si::time>;
using Velocity = boost::units::quantity<si::velocity>;
using Viscosity = boost::units::quantity<si::dynamic_viscosity>;
using Force = boost::units::quantity<si::force>;
/// Force per deflection, newton per metre.
using Stiffness = boost::units::quantity<si::surface_tension>;
/// Moment per angle, newton metre per radian (the radian counts as 1).
using RotationStiffness = boost::units::quantity<si::energy>;
using Temperature = boost::units::quantity<boost::units::absolute<si::temperature>>;
using TemperatureDifference = boost::units::quantity<si::temperature>;
using PerTemperature =
    boost::units::quantity<boost::units::divide_typeof_helper<si::dimensionless, si::temperature>::type>;
/// A number without dimension.
using Ratio = boost::units::quantity<si::dimensionless>;

struct PitchIntervalBaseDimension : boost::units::base_dimension<PitchIntervalBaseDimension, 7001> {};
using PitchIntervalDimension = PitchIntervalBaseDimension::dimension_type;
struct CentBaseUnit : boost::units::base_unit<CentBaseUnit, PitchIntervalDimension, 7001> {};
using CentUnit = boost::units::unit<PitchIntervalDimension, boost::units::make_system<CentBaseUnit>::type>;
/// A pitch interval in cents, 1200 to the octave.
using Interval = boost::units::quantity<CentUnit>;

/// Change of pitch for a change of a length.
using IntervalPerLength = boost::units::quantity<boost::units::divide_typeof_helper<CentUnit, si::length>::type>;
/// Change of pitch for a depth taken over a stretch.
using IntervalPerArea = boost::units::quantity<boost::units::divide_typeof_helper<CentUnit, si::area>::type>;
using IntervalPerMass = boost::units::quantity<boost::units::divide_typeof_helper<CentUnit, si::mass>::type>;

inline constexpr Length metre = 1.0 * si::metre;
inline constexpr Length millimetre = 1e-3 * si::metre;
inline constexpr Length micrometre = 1e-6 * si::metre;
inline constexpr Force newton = 1.0 * si::newton;
inline constexpr Mass kilogram = 1.0 * si::kilogram;
inline constexpr Mass milligram = 1e-6 * si::kilogram;
inline constexpr Density kilogram_per_cubic_metre = 1.0 * si::kilogram_per_cubic_meter;
inline constexpr Pressure pascal = 1.0 * si::pascal;
inline constexpr Pressure megapascal = 1e6 * si::pascal;
inline constexpr Pressure gigapascal = 1e9 * si::pascal;
inline constexpr Frequency hertz = 1.0 * si::hertz;
inline constexpr Time second = 1.0 * si::second;
inline constexpr Interval cent = Interval::from_value(1.0);
inline constexpr TemperatureDifference kelvin = 1.0 * si::kelvin;
inline constexpr PerTemperature per_kelvin = PerTemperature::from_value(1.0);

/// The absolute temperature of a reading in degrees Celsius: T = 273.15 K + t.
Temperature celsius(double degrees);
/// The reading in degrees Celsius of an absolute temperature.
double in_celsius(Temperature temperature);

/// Value of a quantity counted in a unit of the same dimension: in(length, millimetre).
template <class Quantity>
double in(Quantity quantity, Quantity unit) {
    return quantity.value() / unit.value();
}

/// The interval from one pitch up to another: 1200 log2(to / from) cents. Both must be positive.
Interval interval_between(Frequency from, Frequency to);
/// The pitch that lies an interval above another: f 2^(cents / 1200).
Frequency raised_by(Frequency pitch, Interval interval);

}  // namespace reedwright

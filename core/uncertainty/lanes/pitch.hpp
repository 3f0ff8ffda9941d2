// The first mode of a reduced strip for several tongues side by side.
#pragma once

#include "core/uncertainty/lanes/pack.hpp"
#include "core/uncertainty/reduced_strip.hpp"

namespace reedwright::kernel {

namespace {

// Inverse iterations after the first one. Each leaves the error of the shape (omega_1 / omega_2)^2
// times as large, below 1/15, and that of omega^2 the square of it.
constexpr int iterations = 1;

struct Vector {
    Pack at[basis_size];
};

struct Symmetric {
    Pack at[entry_count];
};

// The inputs of some tongues and what follows from them at once.
struct Tongues {
    Pack thickness_m, modulus, density, poisson, stretch, width_m, seat;
    Pack t, w;

    Tongues(const ReducedStrip& strip, const Pack (&z)[input_count]) {
        const auto amount = [&](Input input) { return z[index_of(input)] * strip.deviation[index_of(input)]; };
        thickness_m = amount(Input::thickness);
        modulus = 1.0 + amount(Input::modulus);
        density = 1.0 + amount(Input::density);
        poisson =
            strip.plate ? lesser(greater(strip.poisson + amount(Input::poisson), 0.0), strip.greatest_poisson) : Pack{};
        stretch = 1.0 + amount(Input::length) / strip.length_m;
        width_m = amount(Input::width);
        seat = amount(Input::seat);
        t = z[index_of(Input::thickness)] / strip.reach;
        w = z[index_of(Input::width)] / strip.reach;
    }
};

template <std::size_t Functions>
inline Pack entry_of(const TermSums<Functions>& sums, std::size_t entry, const Pack* functions) {
    Pack sum{};
    for (std::uint32_t term = sums.first[entry]; term < sums.first[entry + 1]; ++term)
        sum += sums.terms[term].coefficient * functions[sums.terms[term].function];
    return sum;
}

template <std::size_t Functions>
inline void add_up(const TermSums<Functions>& sums, const Pack* functions, Symmetric& matrix) {
    for (std::size_t entry = 0; entry < entry_count; ++entry) matrix.at[entry] = entry_of(sums, entry, functions);
}

// The root's rotation spring over Young's modulus, with the clamp's layer.
inline Pack root_spring(const ReducedStrip& strip, const Tongues& tongues) {
    const Pack h = strip.seat_thickness_m + tongues.thickness_m;
    const Pack b = strip.seat_width_m + tongues.width_m;
    const Pack nu = tongues.poisson;
    const Pack slimmer = logarithm(b / h * (strip.seat_thickness_m / strip.seat_width_m));
    const Pack give =
        greater(strip.seat_give + tongues.seat, 0.0) + (strip.layer + strip.layer_by_ln_width * slimmer) * nu * nu;
    const Pack per_g = 1.0 / tongues.stretch;
    return strip.youngs_pa / 12.0 * b * h * h * per_g * per_g / greater(give, strip.least_give);
}

inline void matrices(const ReducedStrip& strip, const Tongues& tongues, Symmetric& stiffness, Symmetric& mass) {
    Pack powers[term_count];
    Pack power = all_lanes(1.0);
    for (std::size_t i = 0; i < thickness_terms; ++i, power *= tongues.t) {
        powers[i * width_terms] = power;
        powers[i * width_terms + 1] = power * tongues.w;
        powers[i * width_terms + 2] = power * tongues.w * tongues.w;
    }
    const Pack g = tongues.stretch;
    const Pack nu = tongues.poisson;
    const Pack per_g = 1.0 / g;
    const Pack plate = 1.0 / (1.0 - nu * nu);
    const Pack per_density = 1.0 / tongues.density;
    const Pack factors[factor_count] = {plate * per_g * per_g * per_g,
                                        plate * nu * per_g,
                                        plate * 2.0 * (1.0 - nu) * per_g,
                                        plate * g,
                                        g,
                                        per_g,
                                        strip.root_turns ? root_spring(strip, tongues) : Pack{},
                                        per_density,
                                        per_density * per_g * per_g};
    Pack functions[most_functions];
    for (std::size_t n = 0; n < strip.function_count; ++n)
        functions[n] = factors[strip.functions[n].factor] * powers[strip.functions[n].power];
    add_up(strip.stiffness, functions, stiffness);
    add_up(strip.mass, functions, mass);
}

inline Vector product(const Symmetric& matrix, const Vector& vector) {
    Vector result;
    for (std::size_t i = 0; i < basis_size; ++i) {
        Pack sum = matrix.at[entry_place(0, i)] * vector.at[0];
        for (std::size_t j = 1; j < basis_size; ++j)
            sum += matrix.at[i < j ? entry_place(i, j) : entry_place(j, i)] * vector.at[j];
        result.at[i] = sum;
    }
    return result;
}

inline Pack dot(const Vector& a, const Vector& b) {
    Pack sum = a.at[0] * b.at[0];
    for (std::size_t i = 1; i < basis_size; ++i) sum += a.at[i] * b.at[i];
    return sum;
}

// matrix = L D L' with D kept as its reciprocal on the diagonal and L' above.
inline void factorise(Symmetric& matrix) {
    for (std::size_t k = 0; k < basis_size; ++k) {
        const Pack inverse = 1.0 / matrix.at[entry_place(k, k)];
        for (std::size_t i = k + 1; i < basis_size; ++i) {
            const Pack factor = matrix.at[entry_place(k, i)] * inverse;
            for (std::size_t j = i; j < basis_size; ++j)
                matrix.at[entry_place(i, j)] -= factor * matrix.at[entry_place(k, j)];
        }
        for (std::size_t i = k + 1; i < basis_size; ++i) matrix.at[entry_place(k, i)] *= inverse;
        matrix.at[entry_place(k, k)] = inverse;
    }
}

inline Vector solved(const Symmetric& factor, Vector x) {
    for (std::size_t k = 0; k < basis_size; ++k)
        for (std::size_t i = k + 1; i < basis_size; ++i) x.at[i] -= factor.at[entry_place(k, i)] * x.at[k];
    for (std::size_t k = basis_size; k-- > 0;) {
        x.at[k] *= factor.at[entry_place(k, k)];
        for (std::size_t i = k + 1; i < basis_size; ++i) x.at[k] -= factor.at[entry_place(k, i)] * x.at[i];
    }
    return x;
}

struct FirstMode {
    Pack omega2;
    Vector shape;
    // Of that shape.
    Pack mass_kg;
};

inline FirstMode first_mode(const ReducedStrip& strip, const Tongues& tongues) {
    Symmetric stiffness, mass;
    matrices(strip, tongues, stiffness, mass);
    factorise(stiffness);
    FirstMode mode;
    Vector weighted;
    for (std::size_t i = 0; i < basis_size; ++i) weighted.at[i] = mass.at[entry_place(0, i)];
    for (int iteration = 0;; ++iteration) {
        mode.shape = solved(stiffness, weighted);
        const Pack strain = dot(mode.shape, weighted);
        weighted = product(mass, mode.shape);
        const Pack inertia = dot(mode.shape, weighted);
        if (iteration < iterations) continue;
        // K shape = weighted of before, so that the quotient needs no product with K.
        mode.omega2 = strain / inertia * tongues.modulus / tongues.density;
        mode.mass_kg = inertia * tongues.density;
        return mode;
    }
}

// The air's mass as a share of the tongue's, both of the first mode.
inline Pack air_share(const ReducedStrip& strip, const Tongues& tongues, const FirstMode& mode, Pack ln_higher) {
    const Pack w = tongues.w;
    const Pack functions[air_functions] = {all_lanes(1.0), w, w * w, ln_higher, ln_higher * w, ln_higher * w * w};
    Pack sum{};
    for (std::size_t i = 0; i < basis_size; ++i)
        for (std::size_t j = i; j < basis_size; ++j)
            sum += entry_of(strip.air, entry_place(i, j), functions) * mode.shape.at[i] * mode.shape.at[j];
    return sum * tongues.stretch / mode.mass_kg;
}

inline Pack pitch_cents(const ReducedStrip& strip, const Pack (&z)[input_count]) {
    const Tongues tongues(strip, z);
    const FirstMode mode = first_mode(strip, tongues);
    Pack squared = mode.omega2 / strip.omega2;
    const Pack slenderness = (strip.root_thickness_m + tongues.thickness_m) / (strip.length_m * tongues.stretch);
    const double nominal = strip.root_thickness_m / strip.length_m;
    const Pack shear = strip.shear_cents * (slenderness * slenderness - nominal * nominal);
    if (strip.in_air)
        squared /= 1.0 + air_share(strip, tongues, mode, 0.5 * logarithm(squared) + shear / strip.cents_per_ln);
    return 0.5 * strip.cents_per_ln * logarithm(squared) + shear - strip.nominal_cents;
}

void solve(const ReducedStrip& strip, const double* const* deviations, double* cents, std::size_t count) {
    Pack z[input_count];
    std::size_t done = 0;
    for (; count - done >= lane_count; done += lane_count) {
        for (std::size_t i = 0; i < input_count; ++i) z[i] = loaded(deviations[i] + done);
        store(pitch_cents(strip, z), cents + done);
    }
    if (done == count) return;
    for (std::size_t i = 0; i < input_count; ++i) {
        z[i] = Pack{};
        for (std::size_t lane = 0; lane < count - done; ++lane) z[i][lane] = deviations[i][done + lane];
    }
    const Pack last = pitch_cents(strip, z);
    for (std::size_t lane = 0; lane < count - done; ++lane) cents[done + lane] = last[lane];
}

}  // namespace

}  // namespace reedwright::kernel

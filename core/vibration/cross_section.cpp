#include "core/vibration/cross_section.hpp"

#include <cmath>
#include <cstddef>

namespace reedwright::kernel {

namespace {

constexpr std::size_t most_coefficients = 23;  // products of two polynomials of order 11
using Polynomial = std::array<double, most_coefficients>;

Polynomial legendre(int order) {
    Polynomial below{}, here{};
    below[0] = 1.0;
    if (order == 0) return below;
    here[1] = 1.0;
    for (int n = 1; n < order; ++n) {
        Polynomial above{};
        for (std::size_t k = 0; k + 1 < most_coefficients; ++k) above[k + 1] += (2.0 * n + 1.0) / (n + 1.0) * here[k];
        for (std::size_t k = 0; k < most_coefficients; ++k) above[k] -= n / (n + 1.0) * below[k];
        below = here;
        here = above;
    }
    return here;
}

Polynomial derivative(const Polynomial& p) {
    Polynomial result{};
    for (std::size_t k = 1; k < most_coefficients; ++k) result[k - 1] = static_cast<double>(k) * p[k];
    return result;
}

Polynomial product(const Polynomial& a, const Polynomial& b) {
    Polynomial result{};
    for (std::size_t i = 0; i < most_coefficients; ++i)
        for (std::size_t j = 0; i + j < most_coefficients; ++j) result[i + j] += a[i] * b[j];
    return result;
}

double value_at(const Polynomial& p, double t) {
    double sum = 0.0;
    for (std::size_t k = most_coefficients; k-- > 0;) sum = sum * t + p[k];
    return sum;
}

// Products of two polynomials of one parity hold even powers alone, at most this many.
template <std::size_t Orders>
constexpr std::size_t even_powers = 2 * Orders;

// The integrals of all products from 0 to t: the matrices before t, t^3, t^5 ...
template <std::size_t Orders>
struct Integrals {
    std::array<CrossMatrix<Orders>, even_powers<Orders>> of_power;

    void set(std::size_t i, std::size_t j, const Polynomial& product) {
        for (std::size_t k = 0; k < of_power.size(); ++k)
            of_power[k][i][j] = product[2 * k] / static_cast<double>(2 * k + 1);
    }

    CrossMatrix<Orders> to(double t, double scale) const {
        CrossMatrix<Orders> sum{};
        double power = scale * t;
        for (const CrossMatrix<Orders>& matrix : of_power) {
            for (std::size_t i = 0; i < Orders; ++i)
                for (std::size_t j = 0; j < Orders; ++j) sum[i][j] += power * matrix[i][j];
            power *= t * t;
        }
        return sum;
    }
};

template <std::size_t Orders>
struct Tables {
    std::array<Polynomial, Orders> value, slope, curvature;
    std::array<std::array<Polynomial, Orders>, Orders> sloped;
    Integrals<Orders> of_plain, of_curved, of_both_curved, of_sloped;

    explicit Tables(Parity parity) {
        for (std::size_t i = 0; i < Orders; ++i) {
            value[i] = legendre(2 * static_cast<int>(i) + (parity == Parity::odd ? 1 : 0));
            slope[i] = derivative(value[i]);
            curvature[i] = derivative(slope[i]);
        }
        for (std::size_t i = 0; i < Orders; ++i)
            for (std::size_t j = 0; j < Orders; ++j) {
                sloped[i][j] = product(slope[i], slope[j]);
                of_plain.set(i, j, product(value[i], value[j]));
                of_curved.set(i, j, product(value[i], curvature[j]));
                of_both_curved.set(i, j, product(curvature[i], curvature[j]));
                of_sloped.set(i, j, sloped[i][j]);
            }
    }

    static const Tables& of(Parity parity) {
        static const Tables even(Parity::even);
        static const Tables odd(Parity::odd);
        return parity == Parity::even ? even : odd;
    }
};

}  // namespace

template <std::size_t Orders>
CrossSection<Orders>::CrossSection(Parity parity, double greatest_width_m)
    : parity_(parity), width_m_(greatest_width_m) {
    for (std::size_t i = 0; i < Orders; ++i) middle_[i] = value_at(Tables<Orders>::of(parity).value[i], 0.0);
}

template <std::size_t Orders>
CrossIntegrals<Orders> CrossSection<Orders>::integrals(double width_m) const {
    const auto& tables = Tables<Orders>::of(parity_);
    const double t = width_m / width_m_;
    const double per_width = 2.0 / width_m_;
    // y = B t / 2 and the integrands are even: the whole width is twice the half.
    const double slopes = width_m_ * per_width * per_width;
    return {tables.of_plain.to(t, width_m_), tables.of_curved.to(t, slopes),
            tables.of_both_curved.to(t, slopes * per_width * per_width), tables.of_sloped.to(t, slopes)};
}

namespace {

// Products of slopes of order n reach the power 2 n - 2; only the even powers are there.
template <std::size_t Orders>
constexpr std::size_t slope_powers = 4 * Orders - 1;

// E_k, the integral of s^k exp(-(t - s) / c) from 0 to t, by parts: E_k = c t^k - c k E_(k-1).
template <std::size_t Orders>
std::array<double, slope_powers<Orders> + 1> edge_moments(double t, double c) {
    std::array<double, slope_powers<Orders> + 1> moment{};
    moment[0] = c * (1.0 - std::exp(-t / c));
    double power = 1.0;
    for (std::size_t k = 1; k < moment.size(); ++k) {
        power *= t;
        moment[k] = c * (power - static_cast<double>(k) * moment[k - 1]);
    }
    return moment;
}

}  // namespace

template <std::size_t Orders>
CrossMatrix<Orders> CrossSection<Orders>::softened_integrals(double width_m, double reach_m) const {
    const auto& tables = Tables<Orders>::of(parity_);
    const auto moment = edge_moments<Orders>(width_m / width_m_, 2.0 * reach_m / width_m_);
    const double scale = 4.0 / width_m_;
    CrossMatrix<Orders> result{};
    for (std::size_t i = 0; i < Orders; ++i)
        for (std::size_t j = i; j < Orders; ++j) {
            const Polynomial& p = tables.sloped[i][j];
            double softened = 0.0;
            // The highest power of this pair: twice the mean order, less two.
            for (std::size_t k = 0; k <= 2 * (i + j); k += 2) softened += p[k] * moment[k];
            result[i][j] = result[j][i] = scale * softened;
        }
    return result;
}

template <std::size_t Orders>
EdgeIntegrals<Orders> CrossSection<Orders>::edge_integrals(double width_m, double reach_m) const {
    const auto& tables = Tables<Orders>::of(parity_);
    const double t = width_m / width_m_;
    const double c = 2.0 * reach_m / width_m_;
    const auto moment = edge_moments<Orders>(t, c);
    const double by_reach_scale = 4.0 / width_m_ / (c * c) * 2.0 / width_m_;
    EdgeIntegrals<Orders> result{softened_integrals(width_m, reach_m), {}};
    for (std::size_t i = 0; i < Orders; ++i)
        for (std::size_t j = i; j < Orders; ++j) {
            const Polynomial& p = tables.sloped[i][j];
            double by_reach = 0.0;
            for (std::size_t k = 0; k <= 2 * (i + j); k += 2) by_reach += p[k] * (t * moment[k] - moment[k + 1]);
            result.by_reach[i][j] = result.by_reach[j][i] = by_reach_scale * by_reach;
        }
    return result;
}

template <std::size_t Orders>
EdgeValues<Orders> CrossSection<Orders>::edge_values(double width_m) const {
    const auto& tables = Tables<Orders>::of(parity_);
    const double t = width_m / width_m_;
    const double per_width = 2.0 / width_m_;
    EdgeValues<Orders> result;
    for (std::size_t i = 0; i < Orders; ++i) {
        result.value[i] = value_at(tables.value[i], t);
        result.slope[i] = per_width * value_at(tables.slope[i], t);
        result.curvature[i] = per_width * per_width * value_at(tables.curvature[i], t);
    }
    return result;
}

template <std::size_t Orders>
double CrossSection<Orders>::value(std::size_t order, double y_m) const {
    return value_at(Tables<Orders>::of(parity_).value[order], 2.0 * y_m / width_m_);
}

template class CrossSection<1>;
template class CrossSection<4>;
template class CrossSection<6>;

}  // namespace reedwright::kernel

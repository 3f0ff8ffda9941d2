#include "core/vibration/element_chain.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>

// The loader picks the copy for the processor at hand; a plain build stays portable. Sanitizers do not
// get along with the indirect functions behind it.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__) && \
    !defined(__clang__)
#define REEDWRIGHT_WIDE __attribute__((target_clones("default", "arch=x86-64-v3")))
#define REEDWRIGHT_WITHIN __attribute__((always_inline)) inline
#else
#define REEDWRIGHT_WIDE
#define REEDWRIGHT_WITHIN inline
#endif

namespace reedwright::kernel {

namespace {

// to[i] += factor * from[i].
template <std::size_t Count>
REEDWRIGHT_WITHIN void add(double* __restrict to, double factor, const double* __restrict from) {
#pragma omp simd
    for (std::size_t i = 0; i < Count; ++i) to[i] += factor * from[i];
}

template <std::size_t Orders>
REEDWRIGHT_WITHIN void multiply_chain(const ElementChain<Orders>& matrix, const double* vector, double* product) {
    using Chain = ElementChain<Orders>;
    std::fill(product, product + matrix.size(), 0.0);
    for (std::size_t e = 0; e < matrix.elements(); ++e) {
        const double* entries = matrix.element(e);
        const double* of_element = vector + e * Chain::step;
        std::array<double, Chain::element_size> sum{};
        for (std::size_t j = 0; j < Chain::element_size; ++j)
            add<Chain::element_size>(sum.data(), of_element[j], entries + j * Chain::element_size);
        add<Chain::element_size>(product + e * Chain::step, 1.0, sum.data());
    }
}

// Takes what the column k leaves from the columns j that lie in one node's block and after it, by the rows from that
// block on: all that is below the diagonal, and a little above it that nobody reads.
template <std::size_t Orders, std::size_t Block>
REEDWRIGHT_WITHIN void take_from_block(double* entries, std::size_t k) {
    using Chain = ElementChain<Orders>;
    constexpr std::size_t first = Block * Chain::node_size;
    const double* column = entries + k * Chain::element_size;
    for (std::size_t j = std::max(k + 1, first); j < first + Chain::node_size; ++j)
        add<Chain::element_size - first>(entries + j * Chain::element_size + first, -column[j], column + first);
}

// Eliminates the first `Steps` unknowns of an element; what is left for the others stands in their place.
template <std::size_t Orders, std::size_t Steps>
REEDWRIGHT_WITHIN bool eliminate(double* entries, double* reciprocals) {
    using Chain = ElementChain<Orders>;
    for (std::size_t k = 0; k < Steps; ++k) {
        double* column = entries + k * Chain::element_size;
        if (!(column[k] > 0.0)) return false;
        const double reciprocal = 1.0 / std::sqrt(column[k]);
        reciprocals[k] = reciprocal;
        for (std::size_t i = 0; i < Chain::element_size; ++i) column[i] *= reciprocal;
        if (k < Chain::node_size) take_from_block<Orders, 0>(entries, k);
        if constexpr (Steps > Chain::node_size) {
            take_from_block<Orders, 1>(entries, k);
            take_from_block<Orders, 2>(entries, k);
        }
    }
    return true;
}

// The places of an element's entries in the factor.
template <std::size_t Orders>
struct Places {
    using Chain = ElementChain<Orders>;
    static constexpr std::size_t inverse = Chain::step * Chain::step;
    static constexpr std::size_t coupling = Chain::step * Chain::node_size;
    static constexpr std::size_t columns = 0;
    static constexpr std::size_t rows = columns + inverse;
    static constexpr std::size_t next_columns = rows + inverse;
    static constexpr std::size_t next_rows = next_columns + coupling;
    static constexpr std::size_t all = next_rows + coupling;
};

// The inverse of the triangle of the first `Steps` unknowns, by rows and by columns.
template <std::size_t Orders, std::size_t Steps>
REEDWRIGHT_WITHIN void invert(const double* entries, const double* reciprocals, double* rows, double* columns) {
    using Chain = ElementChain<Orders>;
    for (std::size_t k = 0; k < Steps; ++k) rows[k * Steps + k] = 1.0;
    for (std::size_t k = 0; k < Steps; ++k) {
        for (std::size_t c = 0; c < Steps; ++c) rows[k * Steps + c] *= reciprocals[k];
        for (std::size_t i = k + 1; i < Steps; ++i)
            add<Steps>(rows + i * Steps, -entries[k * Chain::element_size + i], rows + k * Steps);
    }
    for (std::size_t k = 0; k < Steps; ++k)
        for (std::size_t i = k; i < Steps; ++i) columns[k * Steps + i] = rows[i * Steps + k];
}

template <std::size_t Orders>
REEDWRIGHT_WITHIN bool factorise_chain(const ElementChain<Orders>& matrix, double* factor) {
    using Chain = ElementChain<Orders>;
    using At = Places<Orders>;
    constexpr std::size_t size = Chain::element_size;
    constexpr std::size_t node = Chain::node_size;
    std::array<double, size * size> entries;
    std::array<double, Chain::step> reciprocals;
    std::array<double, node * node> left{};  // by the element before for its last node
    for (std::size_t e = 0; e < matrix.elements(); ++e) {
        double* of_element = factor + e * At::all;
        std::copy_n(matrix.element(e), size * size, entries.data());
        for (std::size_t j = 0; j < node; ++j) add<node>(entries.data() + j * size, 1.0, left.data() + j * node);
        if (!eliminate<Orders, Chain::step>(entries.data(), reciprocals.data())) return false;
        invert<Orders, Chain::step>(entries.data(), reciprocals.data(), of_element + At::rows,
                                    of_element + At::columns);
        for (std::size_t k = 0; k < Chain::step; ++k)
            for (std::size_t j = 0; j < node; ++j)
                of_element[At::next_columns + k * node + j] = of_element[At::next_rows + j * Chain::step + k] =
                    entries[k * size + Chain::step + j];
        for (std::size_t j = 0; j < node; ++j)
            std::copy_n(entries.data() + (Chain::step + j) * size + Chain::step, node, left.data() + j * node);
    }
    for (std::size_t j = 0; j < node; ++j) std::copy_n(left.data() + j * node, node, entries.data() + j * size);
    if (!eliminate<Orders, node>(entries.data(), reciprocals.data())) return false;
    double* of_last = factor + matrix.elements() * At::all;
    invert<Orders, node>(entries.data(), reciprocals.data(), of_last + At::rows, of_last + At::columns);
    return true;
}

// x becomes the matrix, given by its columns, times x.
template <std::size_t Count>
REEDWRIGHT_WITHIN void transform(const double* columns, double* x) {
    std::array<double, Count> sum{};
    for (std::size_t k = 0; k < Count; ++k) add<Count>(sum.data(), x[k], columns + k * Count);
    std::copy_n(sum.data(), Count, x);
}

// Takes the matrix, given by its columns, times x from y.
template <std::size_t Rows, std::size_t Columns>
REEDWRIGHT_WITHIN void take(const double* columns, const double* x, double* y) {
    std::array<double, Rows> sum{};
    for (std::size_t k = 0; k < Columns; ++k) add<Rows>(sum.data(), x[k], columns + k * Rows);
    add<Rows>(y, -1.0, sum.data());
}

template <std::size_t Orders>
REEDWRIGHT_WITHIN void solve_chain(std::size_t elements, const double* factor, double* x) {
    using Chain = ElementChain<Orders>;
    using At = Places<Orders>;
    for (std::size_t e = 0; e < elements; ++e) {
        const double* of_element = factor + e * At::all;
        double* here = x + e * Chain::step;
        transform<Chain::step>(of_element + At::columns, here);
        take<Chain::node_size, Chain::step>(of_element + At::next_columns, here, here + Chain::step);
    }
    const double* of_last = factor + elements * At::all;
    transform<Chain::node_size>(of_last + At::columns, x + elements * Chain::step);
    transform<Chain::node_size>(of_last + At::rows, x + elements * Chain::step);
    for (std::size_t e = elements; e-- > 0;) {
        const double* of_element = factor + e * At::all;
        double* here = x + e * Chain::step;
        take<Chain::step, Chain::node_size>(of_element + At::next_rows, here + Chain::step, here);
        transform<Chain::step>(of_element + At::rows, here);
    }
}

}  // namespace

template <std::size_t Orders>
ChainFactor<Orders>::ChainFactor(const Chain& matrix)
    : elements_(matrix.elements()), entries_((elements_ + 1) * Places<Orders>::all) {
    if (!factorise(matrix)) throw std::runtime_error("the stiffness of the strip is not positive definite");
}

// Full specialisations, for only a plain function can have copies for several processors.
template <>
REEDWRIGHT_WIDE void ElementChain<1>::multiply(const double* vector, double* product) const {
    multiply_chain<1>(*this, vector, product);
}
template <>
REEDWRIGHT_WIDE void ElementChain<4>::multiply(const double* vector, double* product) const {
    multiply_chain<4>(*this, vector, product);
}
template <>
REEDWRIGHT_WIDE void ElementChain<6>::multiply(const double* vector, double* product) const {
    multiply_chain<6>(*this, vector, product);
}
template <>
REEDWRIGHT_WIDE bool ChainFactor<1>::factorise(const ElementChain<1>& matrix) {
    return factorise_chain<1>(matrix, entries_.data());
}
template <>
REEDWRIGHT_WIDE bool ChainFactor<4>::factorise(const ElementChain<4>& matrix) {
    return factorise_chain<4>(matrix, entries_.data());
}
template <>
REEDWRIGHT_WIDE bool ChainFactor<6>::factorise(const ElementChain<6>& matrix) {
    return factorise_chain<6>(matrix, entries_.data());
}
template <>
REEDWRIGHT_WIDE void ChainFactor<1>::solve(double* x) const {
    solve_chain<1>(elements_, entries_.data(), x);
}
template <>
REEDWRIGHT_WIDE void ChainFactor<4>::solve(double* x) const {
    solve_chain<4>(elements_, entries_.data(), x);
}
template <>
REEDWRIGHT_WIDE void ChainFactor<6>::solve(double* x) const {
    solve_chain<6>(elements_, entries_.data(), x);
}

template class ElementChain<1>;
template class ElementChain<4>;
template class ElementChain<6>;
template class ChainFactor<1>;
template class ChainFactor<4>;
template class ChainFactor<6>;

}  // namespace reedwright::kernel

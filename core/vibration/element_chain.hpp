// Matrices of a chain of elements, each of which shares a node with the next, and their Cholesky factor, in plain SI
// doubles. With Orders across, an element has 6 Orders unknowns: the node toward the root, two bubbles, the node toward
// the tip. Every loop of the arithmetic is as long as an element or a node, which the compiler knows.
#pragma once

#include "core/vibration/kept_memory.hpp"

#include <cstddef>

namespace reedwright::kernel {

/// A symmetric matrix that is the sum of its elements' own.
template <std::size_t Orders>
class ElementChain {
public:
    static constexpr std::size_t node_size = 2 * Orders;
    static constexpr std::size_t element_size = 3 * node_size;
    /// Unknowns from one element to the next.
    static constexpr std::size_t step = 2 * node_size;

    explicit ElementChain(std::size_t elements) : elements_(elements), entries_(elements * entries_of_element) {}

    std::size_t elements() const { return elements_; }
    std::size_t size() const { return elements_ * step + node_size; }
    /// The matrix of one element, element_size rows of element_size entries; to be symmetric.
    double* element(std::size_t e) { return entries_.data() + e * entries_of_element; }
    const double* element(std::size_t e) const { return entries_.data() + e * entries_of_element; }

    /// product = matrix * vector; both of size() entries, which must not overlap.
    void multiply(const double* vector, double* product) const;

private:
    static constexpr std::size_t entries_of_element = element_size * element_size;
    std::size_t elements_;
    KeptMemory entries_;
};

/// The lower triangle L with L L^T = matrix.
template <std::size_t Orders>
class ChainFactor {
public:
    /// Throws std::runtime_error when the matrix is not positive definite.
    explicit ChainFactor(const ElementChain<Orders>& matrix);

    /// Solves matrix * x = b in place; size() entries of the matrix.
    void solve(double* x) const;

private:
    using Chain = ElementChain<Orders>;
    bool factorise(const Chain& matrix);

    std::size_t elements_;
    // Of each element the triangle of its first step unknowns, inverted, and their entries in the rows of the next
    // node; each by columns and by rows, so that no sum of a solve waits for the one before. The last node stands like
    // an element's first.
    KeptMemory entries_;
};

}  // namespace reedwright::kernel

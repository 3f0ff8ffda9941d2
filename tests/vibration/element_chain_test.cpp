// A chain of elements against the same matrix written out in full; 1e-14 leaves some fifty roundings, the matrix being
// well conditioned.
#include "core/vibration/element_chain.hpp"

#include <gtest/gtest.h>
#include <Eigen/Dense>
#include <cmath>
#include <stdexcept>

namespace reedwright::kernel {
namespace {

// Symmetric and, by its diagonal, positive definite; every entry different.
template <std::size_t Orders>
void fill(ElementChain<Orders>& chain) {
    constexpr std::size_t size = ElementChain<Orders>::element_size;
    for (std::size_t e = 0; e < chain.elements(); ++e)
        for (std::size_t i = 0; i < size; ++i)
            for (std::size_t j = 0; j < size; ++j) {
                const auto sum = static_cast<double>(i + j);
                const auto product = static_cast<double>(i * j + e);
                chain.element(e)[i * size + j] =
                    i == j ? 2.0 * static_cast<double>(size) + sum : std::sin(sum * product);
            }
}

template <std::size_t Orders>
Eigen::MatrixXd whole(const ElementChain<Orders>& chain) {
    constexpr auto size = static_cast<Eigen::Index>(ElementChain<Orders>::element_size);
    const auto all = static_cast<Eigen::Index>(chain.size());
    Eigen::MatrixXd matrix = Eigen::MatrixXd::Zero(all, all);
    for (std::size_t e = 0; e < chain.elements(); ++e) {
        const auto first = static_cast<Eigen::Index>(e * ElementChain<Orders>::step);
        matrix.block(first, first, size, size) += Eigen::Map<const Eigen::MatrixXd>(chain.element(e), size, size);
    }
    return matrix;
}

template <std::size_t Orders>
void compare(std::size_t elements) {
    ElementChain<Orders> chain(elements);
    fill(chain);
    const Eigen::MatrixXd matrix = whole(chain);
    Eigen::VectorXd vector(matrix.rows());
    for (Eigen::Index i = 0; i < vector.size(); ++i) vector[i] = std::cos(static_cast<double>(i * i));

    Eigen::VectorXd product = Eigen::VectorXd::Constant(vector.size(), 7.0);
    chain.multiply(vector.data(), product.data());
    EXPECT_LT((product - matrix * vector).norm(), 1e-14 * product.norm());

    Eigen::VectorXd solution = vector;
    ChainFactor<Orders>(chain).solve(solution.data());
    const Eigen::VectorXd wanted = matrix.llt().solve(vector);
    EXPECT_LT((solution - wanted).norm(), 1e-14 * wanted.norm());
}

TEST(ElementChain, Multiplies_and_solves_as_the_matrix_in_full) {
    for (const std::size_t elements : {1U, 2U, 13U}) {
        compare<1>(elements);
        compare<4>(elements);
        compare<6>(elements);
    }
}

TEST(ElementChain, Has_no_factor_unless_positive_definite_in_every_place) {
    for (const std::size_t element : {0U, 1U, 2U})
        for (std::size_t unknown = 0; unknown < ElementChain<4>::element_size; ++unknown) {
            ElementChain<4> chain(3);
            fill(chain);
            chain.element(element)[unknown * ElementChain<4>::element_size + unknown] = -1000.0;
            EXPECT_THROW(ChainFactor<4>{chain}, std::runtime_error) << element << ", " << unknown;
        }
}

TEST(KeptMemory, Is_zero_although_another_wrote_in_it) {
    for (const std::size_t count : {100U, 50U, 200U, 1'000'000U, 100U}) {
        KeptMemory memory(count);
        for (std::size_t i = 0; i < count; ++i) {
            ASSERT_EQ(memory.data()[i], 0.0);
            memory.data()[i] = 1.0;
        }
    }
}

}  // namespace
}  // namespace reedwright::kernel

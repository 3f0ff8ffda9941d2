// Symmetric banded matrices and their Cholesky factor, in plain SI doubles.
#pragma once

#include <vector>

namespace reedwright::kernel {

/// A symmetric matrix of which row i keeps the entries (i, i) to (i, i + bandwidth).
class BandedMatrix {
public:
    BandedMatrix(int size, int bandwidth)
        : size_(size),
          stride_(bandwidth + 1),
          entries_(static_cast<std::size_t>(size) * static_cast<std::size_t>(bandwidth + 1)) {}

    int size() const { return size_; }
    int bandwidth() const { return stride_ - 1; }
    double* row(int i) { return entries_.data() + static_cast<std::ptrdiff_t>(i) * stride_; }
    const double* row(int i) const { return entries_.data() + static_cast<std::ptrdiff_t>(i) * stride_; }
    /// The entry (i, j), j >= i.
    double& at(int i, int j) { return row(i)[j - i]; }

    /// product = matrix * vector; both of size() entries.
    void multiply(const double* vector, double* product) const;

    /// Replaces the upper half by U with matrix = U^T U, the diagonal kept as its reciprocal.
    /// Returns false when the matrix is not positive definite.
    bool factorise();
    /// Solves matrix * x = b in place, after factorise().
    void solve(double* right_side) const;

private:
    int size_;
    int stride_;
    std::vector<double> entries_;
};

}  // namespace reedwright::kernel

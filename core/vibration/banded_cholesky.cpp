#include "core/vibration/banded_cholesky.hpp"

#include <algorithm>
#include <cmath>

// The loader picks the copy for the processor at hand; a plain build stays portable. Sanitizers do not
// get along with the indirect functions behind it.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__) && \
    !defined(__clang__)
#define REEDWRIGHT_WIDE __attribute__((target_clones("default", "arch=haswell")))
#else
#define REEDWRIGHT_WIDE
#endif

namespace reedwright::kernel {

REEDWRIGHT_WIDE
void BandedMatrix::multiply(const double* vector, double* product) const {
    std::fill(product, product + size_, 0.0);
    for (int i = 0; i < size_; ++i) {
        const double* entries = row(i);
        const int reach = std::min(bandwidth(), size_ - 1 - i);
        const double here = vector[i];
        double sum = entries[0] * here;
        for (int k = 1; k <= reach; ++k) {
            sum += entries[k] * vector[i + k];
            product[i + k] += entries[k] * here;
        }
        product[i] += sum;
    }
}

REEDWRIGHT_WIDE
bool BandedMatrix::factorise() {
    for (int i = 0; i < size_; ++i) {
        double* pivot = row(i);
        if (!(pivot[0] > 0.0)) return false;
        const double reciprocal = 1.0 / std::sqrt(pivot[0]);
        pivot[0] = reciprocal;
        const int reach = std::min(bandwidth(), size_ - 1 - i);
        for (int k = 1; k <= reach; ++k) pivot[k] *= reciprocal;
        for (int k = 1; k <= reach; ++k) {
            const double factor = pivot[k];
            if (factor == 0.0) continue;
            double* below = row(i + k);
            const double* right = pivot + k;
            for (int c = 0; c <= reach - k; ++c) below[c] -= factor * right[c];
        }
    }
    return true;
}

REEDWRIGHT_WIDE
void BandedMatrix::solve(double* x) const {
    for (int i = 0; i < size_; ++i) {
        const double* entries = row(i);
        const int reach = std::min(bandwidth(), size_ - 1 - i);
        const double value = x[i] * entries[0];
        x[i] = value;
        for (int k = 1; k <= reach; ++k) x[i + k] -= entries[k] * value;
    }
    for (int i = size_ - 1; i >= 0; --i) {
        const double* entries = row(i);
        const int reach = std::min(bandwidth(), size_ - 1 - i);
        double sum = x[i];
        for (int k = 1; k <= reach; ++k) sum -= entries[k] * x[i + k];
        x[i] = sum * entries[0];
    }
}

}  // namespace reedwright::kernel

/* Cholesky factors of symmetric matrices by skyline: each row of the lower triangle from its first entry that
 * is not 0, since nothing before it fills in. So a band costs what a band costs, and a matrix full in one
 * corner what the corner does. */
#ifndef LW_CORE_SKYLINE_H
#define LW_CORE_SKYLINE_H

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

/* The first column of row i that is not 0, at most i. */
static inline int skyline_first(const double *a, int n, int i) {
    const double *row = a + (size_t)i * (size_t)n;
    int j = 0;
    while (j < i && row[j] == 0) j++;
    return j;
}

/* l := the factor of a + shift * identity, with first[n] its skyline. False, and no factor, where that is not
 * positive definite. */
static inline bool skyline_factor(double *l, int *first, const double *a, int n, double shift) {
    for (int i = 0; i < n; i++) {
        const double *from = a + (size_t)i * (size_t)n;
        double *row = l + (size_t)i * (size_t)n;
        first[i] = skyline_first(a, n, i);
        for (int j = first[i]; j <= i; j++) {
            const double *other = l + (size_t)j * (size_t)n;
            double sum = from[j] + (i == j ? shift : 0);
            for (int k = first[i] > first[j] ? first[i] : first[j]; k < j; k++) sum -= row[k] * other[k];
            if (i == j && !(sum > 1e-10 * (fabs(from[i]) + shift))) return false;
            row[j] = i == j ? sqrt(sum) : sum / other[j];
        }
    }
    return true;
}

/* x := (l l^T)^-1 x */
static inline void skyline_solve(double *x, const double *l, const int *first, int n) {
    for (int i = 0; i < n; i++) {
        const double *row = l + (size_t)i * (size_t)n;
        for (int k = first[i]; k < i; k++) x[i] -= row[k] * x[k];
        x[i] /= row[i];
    }
    for (int i = n - 1; i >= 0; i--) {
        const double *row = l + (size_t)i * (size_t)n;
        x[i] /= row[i];
        for (int k = first[i]; k < i; k++) x[k] -= row[k] * x[i];
    }
}

/* x . a x, from the lower triangle. */
static inline double skyline_square(const double *x, const double *a, int n) {
    double sum = 0;
    for (int i = 0; i < n; i++) {
        const double *row = a + (size_t)i * (size_t)n;
        double product = 0.5 * row[i] * x[i];
        for (int j = 0; j < i; j++) product += row[j] * x[j];
        sum += 2 * x[i] * product;
    }
    return sum;
}

#endif

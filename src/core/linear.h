/* Small dense linear algebra on symmetric positive definite matrices, as large as there are measures. */
#ifndef LW_CORE_LINEAR_H
#define LW_CORE_LINEAR_H

#include <math.h>

#include "lengthwise.h"

typedef double square_matrix[LW_MEASURE_COUNT][LW_MEASURE_COUNT];

/* The lower Cholesky factor of the leading n rows, in place. A pivot that is lost to rounding is kept just
 * above 0. */
static inline void cholesky(square_matrix a, int n) {
    for (int i = 0; i < n; i++)
        for (int j = 0; j <= i; j++) {
            double sum = a[i][j];
            for (int k = 0; k < j; k++) sum -= a[i][k] * a[j][k];
            double least = 1e-12 * a[i][i];
            a[i][j] = i == j ? sqrt(sum > least ? sum : least) : sum / a[j][j];
        }
}

/* x := (l l^T)^-1 x */
static inline void cholesky_solve(square_matrix l, int n, double *x) {
    for (int i = 0; i < n; i++) {
        for (int k = 0; k < i; k++) x[i] -= l[i][k] * x[k];
        x[i] /= l[i][i];
    }
    for (int i = n - 1; i >= 0; i--) {
        for (int k = i + 1; k < n; k++) x[i] -= l[k][i] * x[k];
        x[i] /= l[i][i];
    }
}

#endif

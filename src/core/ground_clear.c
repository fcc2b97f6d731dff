/* How far from the bust everything in a block of cells lies, at least: one number instead of 27, for what
 * moves through the air. */
#include <stdlib.h>

#include "ground.h"

enum { REACH = GROUND_BLOCK + 2 }; /* coefficients along a block */

static int blocks_along(int n) { return (n - 3) / GROUND_BLOCK + 1; }

static float lesser(float a, float b) { return a < b ? a : b; }

/* The least of the coefficients of block (i, j, k). */
static float least_of(const ground *g, int i, int j, int k) {
    int x = i * GROUND_BLOCK, y = j * GROUND_BLOCK, z = k * GROUND_BLOCK;
    int past_x = x + REACH < g->nx ? x + REACH : g->nx, past_y = y + REACH < g->ny ? y + REACH : g->ny,
        past_z = z + REACH < g->nz ? z + REACH : g->nz;
    float least = g->at[((size_t)z * g->ny + y) * g->row + x];
    for (int c = z; c < past_z; c++)
        for (int b = y; b < past_y; b++) {
            const float *run = g->at + ((size_t)c * g->ny + b) * g->row;
            for (int a = x; a < past_x; a++) least = lesser(run[a], least);
        }
    return least;
}

bool ground_clear(ground *g) {
    int nx = blocks_along(g->nx), ny = blocks_along(g->ny), nz = blocks_along(g->nz);
    g->clear = malloc(sizeof *g->clear * (size_t)nx * (size_t)ny * (size_t)nz);
    if (!g->clear) return false;
    g->block_nx = nx, g->block_ny = ny, g->block_nz = nz;
#pragma omp parallel for schedule(static)
    for (int k = 0; k < nz; k++)
        for (int j = 0; j < ny; j++)
            for (int i = 0; i < nx; i++) g->clear[((size_t)k * ny + j) * nx + i] = least_of(g, i, j, k);
    return true;
}

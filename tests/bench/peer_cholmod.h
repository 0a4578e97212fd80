/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCH_PEER_CHOLMOD_H
#define BENCH_PEER_CHOLMOD_H

#include <cholmod.h>

#include "grid.h"

/*
 * The same adjustment the general way: normal matrix over heights and both nuisance
 * unknowns of each line, a weight at each pin, CHOLMOD's Cholesky factor, the entries
 * of the inverse on its pattern, redundancies from these.
 *
 *   common  started; common.supernodal chooses the factor
 *   answer  out; heights are 0 at the pins
 */
bool bench_cholmod(const struct bench_grid *grid, cholmod_common *common,
                   struct bench_answer *answer);

/*
 * Entries of the inverse on the pattern of a factor (K. Takahashi, J. Fagan, M. S.
 * Chen, 8th PICA conference, 1973, from memory), in the layout of the factor's x: LDL^T
 * by columns, or LL^T by supernodes.  NULL without memory; free with bt_free.
 */
double *bench_inverse_columns(const cholmod_factor *l);
double *bench_inverse_supernodes(const cholmod_factor *l);

/* Entry of the inverse for rows i and j of the factor. */
double bench_inverse_entry(const cholmod_factor *l, const double z[], const int super[],
                           int i, int j);

#endif

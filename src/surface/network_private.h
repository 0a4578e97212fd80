/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_SURFACE_NETWORK_PRIVATE_H
#define BT_SURFACE_NETWORK_PRIVATE_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/surface/network.h"

/*
 * The weighted system.  Row i of it is
 *
 *     y_i / u_i = sum_k a[4 i + k] h[point k] + sum_j g[3 i + j] t[col[group] + j]
 *
 * with the nuisance unknowns of each group scaled so that sum g g^T over the group is
 * the identity; combinations that a group's own readings cannot tell apart (the slope
 * of a line read at one place) are left out, hence dim <= the group's nominal dim.
 * Normal matrix: N = [H C; C^T I], H over heights, C = sum a g^T.
 */
struct bt_system {
    size_t n, nobs, ngroup;
    size_t m;       /* nuisance unknowns kept */
    size_t nominal; /* heights and nuisance unknowns before leaving any out */
    struct bt_obs *obs;
    struct bt_point *point;
    double *a;               /* [4 nobs] */
    double *g;               /* [3 nobs] */
    double *y;               /* [nobs] value / u */
    double *diag;            /* [n] diagonal of H */
    size_t *col;             /* [ngroup] */
    int *dim;                /* [ngroup] */
    size_t *start;           /* [n + 1] readings of a point: item[start[p]] ... */
    size_t *item;            /* reading * 4 + k */
    bool single;             /* every reading has one height: H is diagonal */
    double null_tolerance;   /* eigenvalues of the scaled system that count as zero */
    double shape_tolerance;  /* relative, for figures and names */
    double centre[2], scale; /* of the planes 1, (x - cx)/s, (y - cy)/s */
    size_t nplane;           /* unseen combinations of them */
    double plane[3][3];      /* rows: coefficients */
};

/* What a way of solving leaves behind. */
struct bt_factor {
    void *state;
    enum bt_status (*solve)(const struct bt_system *sys, void *state, const double bh[],
                            const double bt[], double h[], double t[]);
    /* c^T N^- c for c[n] that no unseen shape changes; NULL: through solve */
    enum bt_status (*form)(const struct bt_system *sys, const void *state,
                           const double c[], double *variance);
    void (*free)(void *state);
    double *variance;  /* [n] diagonal of the heights' part of the inverse */
    double *quadratic; /* [nobs] a_i N^- a_i^T = 1 - redundancy */
    double least_eigenvalue;
    size_t nshape; /* unseen shapes beyond the planes */
    double *shape; /* [nshape][n], owned by the caller of factor */
};

/* An unknown that readings of several groups share, after the heights and the groups
 * have taken their part of it (bt_network_extend). */
struct bt_extension {
    double *direction; /* [nobs] what is left of it in the weighted readings, of length
                          1, at right angles to those before */
    double *height;    /* [n] what it does to the heights, in the same measure */
};

struct bt_inverse {
    struct bt_system sys;
    struct bt_factor factor;
    size_t nextension;
    struct bt_extension *extension;
};

/*
 * Least squares for weighted readings y[nobs], extensions included.
 *
 *   h[n]     out
 *   r[nobs]  out: weighted residuals
 */
enum bt_status bt_network_solve(const struct bt_inverse *inv, const double y[],
                                double h[], double r[]);

/* Fill net->score, and sigma0 from vtpv and dof. */
void bt_network_studentise(struct bt_network *net, const struct bt_obs obs[]);

/*
 * Counting sort: items 0 to n-1 by key[], stable; those of key k are item[start[k]] to
 * item[start[k + 1] - 1].  Items whose key is nkey or more are left out.
 *
 *   start[nkey + 1], item[n]  out
 */
void bt_sort_by_key(size_t nkey, size_t n, const size_t key[], size_t start[],
                    size_t item[]);

/* Mark a large family of groups without a common point; every reading has one height.
 */
enum bt_status bt_choose_family(const struct bt_system *sys, bool chosen[]);

/*
 * Copy, check and weight the readings; on error sys is cleared.  Status as
 * bt_network_adjust.
 */
enum bt_status bt_system_build(const struct bt_readings *readings,
                               struct bt_system *sys, struct bt_error *err);
void bt_system_clear(struct bt_system *sys);

/* t-part of C^T h: out[m] = sum over readings of g (a . h). */
void bt_system_couple(const struct bt_system *sys, const double h[], double out[]);

/*
 * Take each group's nuisance unknowns out of a column of weighted values, in place, by
 * the orthonormal basis that the adjustment uses: what is left is what the readings
 * show of it whatever those unknowns are.  Reading i at column[stride * i].  Returns
 * BT_OK or BT_ENOMEM.
 */
enum bt_status bt_system_take_off_groups(const struct bt_system *sys, size_t stride,
                                         double column[]);

/* Rows of f[nplane][n]: the unseen planes over the points. */
void bt_system_planes(const struct bt_system *sys, double f[]);

/*
 * The ways.  Each fills factor or returns BT_ESINGULAR (an unseen shape beyond the
 * planes: take the slower way that finds it) or BT_ENOMEM.
 *
 *   lines    every reading has one height; whole: through eigenvalues, finds shapes
 *   sparse   any mixture; finds no shapes
 *   eigen    any mixture, through eigenvalues of the heights' system; finds shapes
 */
enum bt_status bt_factor_lines(const struct bt_system *sys, bool whole,
                               struct bt_factor *factor);
enum bt_status bt_factor_sparse(const struct bt_system *sys, struct bt_factor *factor);
enum bt_status bt_factor_eigen(const struct bt_system *sys, struct bt_factor *factor);

enum { BT_EIGEN_MAX = 1500 };

#endif

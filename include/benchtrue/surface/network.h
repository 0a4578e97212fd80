/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_NETWORK_H
#define BENCHTRUE_SURFACE_NETWORK_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/surface/readings.h"

/*
 * Weighted least-squares adjustment of any mixture of readings, weights 1/u^2.
 *
 * Uncertainties are a priori (from the stated u).  Shapes of the heights that no
 * reading sees are found, not assumed: see `shape`.  Residuals, redundancies,
 * sigma0 and every figure that the unseen shapes do not change are independent of
 * the datum chosen inside.
 *
 * Method: each group's nuisance unknowns are scaled to an orthonormal weighted
 * basis.  Where every reading has one height, the heights (a diagonal block) are
 * eliminated first and what is left has eigenvalues between 0 and 1; of it the
 * largest family of groups without a common point goes next, the rest is dense.
 * Other mixtures go through a sparse Cholesky factor and the part of the inverse
 * that the redundancies need.  Singular systems go through the eigenvalues of the
 * reduced system.  Formulas: reference/metrology/definitions.md, "Uncertainty".
 */
struct bt_network {
    size_t npoint, nobs;
    size_t unknowns; /* heights and nuisance unknowns */
    size_t rank;
    size_t dof;              /* nobs - rank */
    double vtpv;             /* weighted sum of squared residuals */
    double sigma0;           /* sqrt(vtpv/dof); NaN where dof is 0 */
    double least_eigenvalue; /* of the scaled reduced system, planes set aside; NaN
                                where there is none */
    bool weak; /* least_eigenvalue below 1e-8: figures along that direction
                  carry few digits */

    double *height;     /* [npoint] mm, one of the equivalent solutions */
    double *residual;   /* [nobs] reading - model, unit of the reading */
    double *redundancy; /* [nobs] 0 (nothing checks it) to 1; sum = dof */
    double *score;      /* [nobs] studentised residual: residual/(u sqrt(redundancy)),
                           over the sigma0 of the other readings where that is above
                           1; NaN where the redundancy is 0 */

    size_t nshape; /* unseen shapes, planes included */
    double *shape; /* [nshape][npoint] orthonormal rows */
    size_t nplane; /* how many combinations of the planes 1, x, y are among them */

    size_t nshared; /* errors that several readings share: bt_network_share */
    double *shared; /* [nshared][npoint] what one standard uncertainty does, mm */

    size_t nalike; /* readings whose rounding may be one error: bt_network_alike */
    double *alike; /* [nalike][npoint] what one standard uncertainty of each does, mm;
                      those of one number beside each other */
    int *alike_of; /* [nalike] their numbers, bt_obs.alike */

    void *inverse; /* private: what functionals need */
};

/*
 * Adjust.
 *
 *   readings  nobs >= 1, every u > 0 and finite, indices in range, groups' dims 1
 *             to 3; points that no reading has are an error
 *   out       to be freed with bt_network_free; NULL on error
 *
 * Returns BT_OK; BT_EINPUT (no reading, not finite, u <= 0: row is the reading);
 * BT_ESINGULAR (too large a network with unseen shapes beyond planes to be
 * analysed: over 1500 heights or nuisance unknowns in the reduced system);
 * BT_ENOMEM; BT_ECALL (index out of range).
 */
BT_API enum bt_status bt_network_adjust(const struct bt_readings *readings,
                                        struct bt_network **out, struct bt_error *err);

/* One network belongs to one thread at a time: the functions below use its workspace.
 */

/* NULL is accepted. */
BT_API void bt_network_free(struct bt_network *net);

/*
 * A linear figure sum_i c[i] h[i] of the heights.
 *
 *   c[npoint]  coefficients
 *   value, u   out: NaN where not seen; u in the unit of c * mm
 *   seen       out: false where an unseen shape changes it
 *
 * Seen means |c . s| <= 1e-7 |c| |s| for every unseen shape s; where places were moved
 * to a neighbouring point (readings.slack), in proportion more.
 * Returns BT_OK or BT_ENOMEM.
 */
BT_API enum bt_status bt_network_figure(const struct bt_network *net, const double c[],
                                        double *value, double *u, bool *seen);

/* Whether no unseen shape changes sum_i c[i] h[i]; c[npoint]. */
BT_API bool bt_network_sees(const struct bt_network *net, const double c[]);

/*
 * How heights answer to changed readings: dh = least-squares heights of dy[nobs]
 * (same weights), one of the equivalent solutions.  For errors that several
 * readings share.  Returns BT_OK or BT_ENOMEM.
 */
BT_API enum bt_status bt_network_response(const struct bt_network *net,
                                          const double dy[], double dh[]);

/*
 * How much each reading counts in a figure sum_i c[i] h[i] that is seen: gain[nobs], in
 * figure per unit of the reading.  The figure is the sum of gain times reading, its u
 * without shared errors the root of the sum of (gain times u)^2; what an error dy[nobs]
 * of the readings does to it is the sum of gain times dy.  Returns BT_OK or BT_ENOMEM.
 */
BT_API enum bt_status bt_network_gains(const struct bt_network *net, const double c[],
                                       double gain[]);

/* An unknown of bt_network_extend. */
struct bt_extended {
    double value, u; /* NaN where not seen */
    bool seen;
};

/*
 * Adjust for further unknowns, each of which does x[nobs] per unit to the readings:
 * something that readings of several groups share, such as the shape of a
 * straightedge.  Everything in *net becomes what one adjustment with them would have
 * given; what they leave unsure of the heights is among net->shared.  To be called
 * once, before bt_network_share.
 *
 *   x[n][nobs]  unit of the readings per unit of the unknown
 *   found[n]    out: not seen where heights and groups' unknowns, or the unknowns
 * before it, take up x but for 1e-9 of its square; such a one is left out
 *
 * By partialling out: with x' what the adjustment leaves of x, k = x' P y/(x' P x'),
 * u(k) = 1/sqrt(x' P x'); R. Frisch and F. V. Waugh, Econometrica 1 (1933) 387 (from
 * memory).  Returns BT_OK or BT_ENOMEM (*net untouched but for what was found before).
 */
BT_API enum bt_status bt_network_extend(struct bt_network *net, size_t n,
                                        const double x[], struct bt_extended found[]);

/*
 * Take account of an error that several readings share, such as the shape of a
 * straightedge: dy[nobs] is what one standard uncertainty of it does to the readings.
 * Adds its share to the u of every figure and height asked for afterwards; errors added
 * one after another are independent.  Residuals and sigma0 stay.
 * Returns BT_OK or BT_ENOMEM (nothing added).
 */
BT_API enum bt_status bt_network_share(struct bt_network *net, const double dy[]);

/*
 * Take account of readings whose rounding may be one error, by their bt_obs.alike.
 *
 * What a reading between two leaves leaves open is rectangular, but the errors of two
 * such readings need not be independent: a gap that is found between the same two
 * leaves at several places because the surface is smooth is rounded in the same way at
 * all of them, one that is found there by chance is not (the errors part once the gaps
 * of a set of readings spread over a step or more: W. F. Sheppard's condition; B.
 * Widrow and I. Kollar, Quantization Noise, 2008, both from memory).  The readings
 * themselves cannot tell, so that the u of every figure and height asked for
 * afterwards is the larger of both: with g_i what one u of reading i does to the
 * figure,
 *
 *     u^2 = others + max(sum_i g_i^2, sum_k (sum_(i in k) g_i)^2)
 *
 * k the numbers, a reading without one alone.  Nothing changes where no two readings
 * have the same number.  Weights, residuals, redundancies and sigma0 stay.  Where more
 * than BT_ALIKE_MOST readings are concerned the two are added instead of compared,
 * which is safe and needs no row for each.
 *
 * To be called once, after bt_network_extend.  Returns BT_OK or BT_ENOMEM (then *net is
 * fit for bt_network_free only).
 */
enum { BT_ALIKE_MOST = 1000 };
BT_API enum bt_status bt_network_alike(struct bt_network *net);

/*
 * Take the least-squares plane over the adjustment's points off v[npoint], in place:
 * what turns coefficients for heights relative to their plane into coefficients for
 * bt_network_figure.  Returns BT_OK, BT_ESINGULAR (all points on one line) or
 * BT_ENOMEM.
 */
BT_API enum bt_status bt_network_take_off_plane(const struct bt_network *net,
                                                double v[]);

/*
 * Heights relative to their least-squares plane, with the standard uncertainty of
 * each in that datum.
 *
 *   z, u  out [npoint]; NaN where an unseen shape other than a plane moves the point
 *
 * Returns BT_OK, BT_ESINGULAR (all points on one line: no plane) or BT_ENOMEM.
 */
BT_API enum bt_status bt_network_heights(const struct bt_network *net, double z[],
                                         double u[], struct bt_error *err);

#endif

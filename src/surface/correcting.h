/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_SURFACE_CORRECTING_H
#define BT_SURFACE_CORRECTING_H

#include "benchtrue/surface/correction.h"
#include "benchtrue/surface/flatness.h"
#include "benchtrue/surface/network.h"
#include "benchtrue/surface/readings.h"

/*
 * The next of the effects that are known beforehand: value and u; share and change 0.
 * group as bt_shared_next.  False when there is no further one.
 */
bool bt_correction_next(const struct bt_readings *r, size_t *group,
                        struct bt_correction *out);

/* What k = 1 of it does to the readings; x[r->nobs]. */
void bt_correction_column(const struct bt_readings *r, const struct bt_correction *c,
                          double x[]);

/* Is this the first group read with its edge?  False where none is declared. */
bool bt_correction_first(const struct bt_readings *r, size_t group);

/* One that is seen, share and change 0. */
struct bt_correction bt_correction_plain(enum bt_correction_kind kind, int instrument,
                                         double value, double u);

/*
 * A copy of readings with the values of what is known beforehand taken off.
 *
 *   sag[npoint], sag_u  own weight, NULL: none
 *   *out                owned; NULL where nothing is to be taken off
 */
enum bt_status bt_corrections_take_off(const struct bt_readings *r, const double sag[],
                                       double sag_u, struct bt_readings **out);

/*
 * Adjust with the odd shapes of the edges that were laid both ways round as further
 * unknowns; nothing is shared yet.
 *
 *   *list, *n  out, may be NULL: the odd shapes, to be given back with bt_free
 *
 * Status as bt_network_adjust.
 */
enum bt_status bt_corrections_adjust(const struct bt_readings *r,
                                     struct bt_network **net,
                                     struct bt_correction **list, size_t *n,
                                     struct bt_error *err);

/* Fill f->correction: what is known beforehand, shared in f->net, behind the odd shapes
 * that are in it already.  Rounding that may be one error is taken account of, too. */
enum bt_status bt_corrections_share(const struct bt_readings *r, struct bt_flatness *f);

/*
 * Take the u of one figure apart, from how much each reading counts in it.
 *
 *   r, gain[r->nobs]  f->used, or what else the figure was made from
 */
enum bt_status bt_corrections_split(const struct bt_readings *r, const double gain[],
                                    enum bt_doubt_of figure, struct bt_flatness *f);

#endif

/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_OWN_WEIGHT_H
#define BENCHTRUE_REPORT_OWN_WEIGHT_H

#include <stdbool.h>

#include "benchtrue/base/status.h"
#include "benchtrue/ingest/job.h"

/* How the panel's own weight comes into a set of readings. */
enum bt_weight_state {
    BT_WEIGHT_NONE,       /* flat on a bench or on edge: it did not sag */
    BT_WEIGHT_TAKEN_OFF,  /* on battens or rails: what it did was computed */
    BT_WEIGHT_MISSING,    /* on battens or rails, but `missing` is not stated */
    BT_WEIGHT_NOT_STATED, /* nothing says how it lay */
};

struct bt_own_weight {
    enum bt_weight_state state;
    const char *missing; /* which key would do, as `thickness in [panel]`; "" none.  Of
                            what is not stated about supports it only hides `most` */
    double E, density;   /* MPa along the strip that bends, kg/m3; NaN not known */
    double u;       /* relative, of the sag: u of density and of E; thickness counts
                       as exact */
    double *sag;    /* [npoint] owned; what it gave the heights, mm, TAKEN_OFF only */
    double deepest; /* mm, most that a place read hung below its supports; 0 else */
    double most;    /* mm: what it would sag on two supports at its ends, along the
                       grain; NaN where not known */
    double best[2]; /* mm: where two battens let it sag least; NaN where not known */
    bool matters;   /* NOT_STATED, MISSING: `most` is not known or over a tenth of
                       the least limit for bow, range or zone */
};

/* As much of a limit as the own weight may be without a word (a tenth; common practice,
 * no source: a tenth hardly moves a verdict). */
#define BT_WEIGHT_SHARE 0.1

/*
 * Find it from the species ([panel], else that of all boards), thickness and supports.
 * E on battens: bending along the grain; on rails: midway between tangential and
 * radial, since how the boards are cut varies, with half their difference over sqrt(3)
 * in u.
 *
 *   out  to be freed with bt_own_weight_clear, also after an error
 *
 * Returns BT_OK, BT_EINPUT (what bt_sag_heights says of the supports) or BT_ENOMEM.
 */
BT_API enum bt_status bt_own_weight_find(const struct bt_job *job,
                                         const struct bt_set *set,
                                         struct bt_own_weight *out,
                                         struct bt_error *err);

BT_API void bt_own_weight_clear(struct bt_own_weight *weight);

#endif

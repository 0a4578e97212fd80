/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_FLATNESS_H
#define BENCHTRUE_SURFACE_FLATNESS_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/surface/correction.h"
#include "benchtrue/surface/far_off.h"
#include "benchtrue/surface/form.h"
#include "benchtrue/surface/network.h"
#include "benchtrue/surface/plane.h"
#include "benchtrue/surface/unseen.h"

/* A reading that fits the others badly. */
struct bt_suspect {
    size_t obs;      /* index into readings.obs */
    double residual; /* unit of the reading */
    double score;    /* studentised */
    double chance;   /* that one of all these readings is this far off by luck */
};

enum { BT_SUSPECT_MAX = 12 };

/* Largest figures; u with the contacts held. */
struct bt_residual_figures {
    struct bt_measured peak, valley, range, rms; /* mm; valley negative; rms with
                                                    divisor n */
    size_t highest, lowest;                      /* indices of points */
};

/* What an evaluation is told beside the readings; all zero: nothing. */
struct bt_flatness_options {
    double length, width; /* of the panel, mm; NaN or 0: the extent of the points along
                             that axis */
    bool one_reference;   /* the heights are typed over one reference (struct bt_set) */
    const double *sag; /* [npoint] heights that the panel's own weight gave the places
                          while it was read, mm, negative where it hung; NULL: none */
    double sag_u;      /* relative standard uncertainty of all of them, >= 0 */
};

/* Bow, cup and twist as they would be without the suspects. */
struct bt_form_without {
    bool known; /* false where there is no suspect, or the others are not enough */
    struct bt_measured bow, cup, twist;
};

/* What one set of readings says about the surface. */
struct bt_flatness {
    const struct bt_readings
        *all; /* what was evaluated: the caller's, or `corrected` */
    struct bt_readings *corrected; /* with what is known of their errors taken off; NULL
                                      where there is nothing to take off */
    const struct bt_readings *used; /* what points and readings below are indices of:
                                       `all`, or `own` where some were left out */
    struct bt_readings *own;        /* NULL where nothing was left out */
    size_t *from;                   /* see bt_flatness_reading */
    size_t nloose;
    size_t *loose; /* [nloose] readings left out, indices in what was evaluated */
    struct bt_network *net; /* owned; of a scan the counts alone: arrays and `inverse`
                               NULL, nobs = rank = npoint, dof 0, sigma0 NaN */
    double *z, *u;          /* [net->npoint] mm, relative to the least-squares plane;
                               NaN where an unseen shape moves the point */
    bool plane_known;       /* plane: of the heights as typed */
    struct bt_plane plane;
    struct bt_residual_figures residual;
    struct bt_form form;
    size_t nunseen;
    struct bt_unseen unseen[BT_UNSEEN_MAX];
    struct bt_unseen_line best_line; /* the one more line that would show most */
    size_t nsuspect;
    struct bt_suspect suspect[BT_SUSPECT_MAX]; /* as found, worst first; readings that
                                                  are equally suspect stand together */
    struct bt_form_without without;
    struct bt_far_off far_off; /* of a scan; n 0 for readings */
    double agreement; /* chi-square probability that readings with the stated u differ
                         by as much as these or more; NaN where dof is 0 */
    size_t ncorrection;
    struct bt_correction *correction; /* [ncorrection] effects that readings share:
                                         found ones, of the edges, of the own weight */
    double readings_u[BT_DOUBTS][BT_READ_KINDS]; /* mm: u of a figure from readings of
                                         each kind by themselves; with the shares of
                                         `correction`, squared, they add up to u^2.  0
                                         where a figure is not seen.  Zone and local:
                                         once bt_flatness_doubt was asked */
};

/* Whether the readings differ by what their stated u says. */
enum bt_agreement {
    BT_AGREE_UNKNOWN, /* no reading checks another */
    BT_AGREE,
    BT_AGREE_TOO_BAD, /* by more, as comes up by luck in 2.5 sets in 100 */
    BT_AGREE_TOO_GOOD /* by less, likewise */
};

BT_API enum bt_agreement bt_flatness_agreement(const struct bt_flatness *flatness);

/*
 * Adjust and evaluate one set.
 *
 *   readings  at least 3 points not on one line
 *   options   NULL: nothing
 *   out       to be freed with bt_flatness_clear, also after an error
 *
 * A suspect is a reading whose score would come up by luck in fewer than one set in
 * a hundred (two-sided, Bonferroni over the readings); where others are suspect to
 * the same degree (1e-6), as at a point that only two lines read, they are listed
 * with it.  The worst is found first and set aside, then the others are judged anew,
 * so that a gross error does not make suspects of the good readings around it; score,
 * residual and chance are those at the time a suspect was found.
 *
 * What is known of effects that readings share is taken off them, and their u is in the
 * u of every figure and height: surface/correction.h.  Of a scan only the own weight.
 *
 * Readings that hang loose are left out and told: a line that shares fewer than two
 * places with the rest, a bar or level with two places that nothing else reads, winding
 * sticks with two such places (they count for the twist where the heights do not show
 * it).  They say nothing of the panel, and their places could move.  Where what is left
 * would not reach within a tenth as far as all readings, or has no more than half of
 * the places, nothing is left out.
 *
 * A scan (readings->scan) is not adjusted, for nothing in it checks anything: plane,
 * figures and form come from bt_scan_form, and heights far off are named.
 *
 * Points and readings stay the caller's: `readings` must live as long as *out.
 *
 * Returns BT_OK, BT_EINPUT (fewer than 3 points; all on one line; length or width
 * infinite; sag not finite, row the point, or sag_u not finite and >= 0), what
 * bt_network_adjust returns, or BT_ENOMEM.
 */
BT_API enum bt_status bt_flatness_evaluate(const struct bt_readings *readings,
                                           const struct bt_flatness_options *options,
                                           struct bt_flatness *out,
                                           struct bt_error *err);

BT_API void bt_flatness_clear(struct bt_flatness *flatness);

/*
 * Take the u of one more figure apart: sum_i c[i] z[i] of the heights, c[net->npoint]
 * such that no plane changes it.  Fills readings_u[figure], and share and change of
 * each correction.  Nothing where an unseen shape changes the figure.  Returns BT_OK or
 * BT_ENOMEM.
 */
BT_API enum bt_status bt_flatness_doubt(struct bt_flatness *flatness,
                                        enum bt_doubt_of figure, const double c[]);

/* Index, in the readings that were evaluated, of reading obs of `used`. */
BT_API size_t bt_flatness_reading(const struct bt_flatness *flatness, size_t obs);

#endif

/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_TREND_RESULT_H
#define BENCHTRUE_REPORT_TREND_RESULT_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/day.h"
#include "benchtrue/ingest/job.h"
#include "benchtrue/judge/limits.h"
#include "benchtrue/judge/trend.h"
#include "benchtrue/surface/form_parts.h"
#include "benchtrue/wood/drying.h"

/* What became of a set. */
enum bt_trend_use {
    BT_TREND_USED,
    BT_TREND_UNDATED,    /* left out: no date */
    BT_TREND_BEFORE,     /* left out: older than what was asked for */
    BT_TREND_BLANK,      /* left out: no reading yet */
    BT_TREND_OTHER_FACE, /* left out: not the face of the latest set.  A face shows the
                            other one only where the panel is of even thickness, so
                            turning its signs would show taper as movement */
    BT_TREND_NO_SURFACE  /* left out: its readings do not make a surface */
};

/* A set of the job. */
struct bt_trend_set {
    const struct bt_set *set;
    enum bt_trend_use use;
    char why[200]; /* BT_TREND_NO_SURFACE: in words; else "" */
    long day;      /* of its date; 0 where undated */
    /* of those used: */
    struct bt_form_parts parts; /* over the rectangle of the latest set */
    size_t nsuspect;            /* readings that fit the others badly */
    double agreement;           /* as in struct bt_flatness */
};

enum { BT_TREND_FIGURES = 3 };

/* Cup, bow or twist over the sets used. */
struct bt_trend_line {
    enum bt_figure figure;
    struct bt_measured change; /* mm, from the set before to the latest */
    struct bt_measured total;  /* mm, from the first to the latest */
    double limit, matters;     /* mm; NaN where the job sets no limit */
    enum bt_trend_verdict verdict;
    bool fitted;               /* three days or more, and the thickness known */
    struct bt_trend_rest rest; /* where fitted */
    bool follows; /* the readings agree with an approach to rest: chance over 1 % */
    enum bt_verdict at_rest; /* on where it ends, where it follows and has a limit;
                                else BT_NOT_SEEN */
};

/* Why to look again on the day said. */
enum bt_trend_next {
    BT_TREND_NEXT_NONE,     /* it has settled */
    BT_TREND_NEXT_REST,     /* by then what is still to come is under u */
    BT_TREND_NEXT_CONSTANT, /* a drying time constant after the latest set */
    BT_TREND_NEXT_AGAIN,    /* as long again as between the last two */
    BT_TREND_NEXT_FINER     /* not a day: waiting shows no more, read finer */
};

/* `trend` of one job. */
struct bt_trend_answer {
    const struct bt_job *job;
    size_t nset;
    struct bt_trend_set *set; /* [nset] by date, undated first, ties as in job.ini */
    size_t nused;
    size_t *used;          /* [nused] indices of set, ascending */
    size_t before, latest; /* indices of set: the latest, and the latest of an earlier
                              day */
    double share;          /* of its limit that a figure may change before it matters */
    bool same_places;      /* those two were read at the same places */
    bool tau_known;        /* the panel's thickness is stated */
    struct bt_days tau;    /* drying time constant, both faces open */
    struct bt_trend_line line[BT_TREND_FIGURES];
    enum bt_trend_verdict verdict;
    enum bt_trend_next next;
    long next_day; /* where next is _REST, _CONSTANT or _AGAIN */
};

/* What a user asks for beside what the job states; all zero: nothing. */
struct bt_trend_request {
    double share; /* above 0, at most 1; 0: BT_TREND_SHARE */
    bool only;    /* leave out sets before `since` */
    long since;   /* bt_day_of_date */
};

/*
 * Compare the dated sets of a job that were read on the face of the latest.
 *
 *   job      as loaded, with all its sets; must outlive out
 *   request  NULL: nothing
 *   out      to be freed with bt_trend_answer_clear, also after an error
 *
 * u of a change: bt_trend_change, with the straightness of each straightedge that both
 * sets were read with.  Where the two were not read at the same places (within
 * job->same_point), each set's misfit (struct bt_form_parts) is added to what it has to
 * itself; for the fit, where any two were not.  The verdict on a figure is that on its
 * change from the set before to the latest.  The verdict on the panel: `moved` where a
 * figure moved; else `cannot tell` where one with a limit cannot be told or is not
 * seen, or none has a limit; else `settled`.
 *
 * With three days or more and the thickness stated the approach to rest is fitted, with
 * the drying time constant as prior (bt_drying_constant, both faces open).
 *
 * The next day to look: where fits follow the readings, when what is still to come of
 * each is under the u that the latest reading has to itself (bt_trend_wait); else a
 * drying time constant after the latest set; else as long again.  A panel that has
 * settled needs none, but where the two sets lie less than a time constant apart and
 * nothing was fitted, or what the fit expects still matters.
 *
 * Returns BT_OK; BT_EINPUT (share out of range; fewer than two days with a set that can
 * be used: the message names those that cannot and why); BT_ENOMEM.
 */
BT_API enum bt_status bt_trend_answer_find(const struct bt_job *job,
                                           const struct bt_trend_request *request,
                                           struct bt_trend_answer *out,
                                           struct bt_error *err);

BT_API void bt_trend_answer_clear(struct bt_trend_answer *answer);

/* A figure of one of its sets: value with its whole u. */
BT_API const struct bt_measured *bt_trend_figure(const struct bt_trend_set *set,
                                                 enum bt_figure figure);

/* `no date`, `read on the bottom face`, ...: why it is left out; "" where it is not. */
BT_API const char *bt_trend_left_out(const struct bt_trend_set *set);

#endif

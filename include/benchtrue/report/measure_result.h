/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_MEASURE_RESULT_H
#define BENCHTRUE_REPORT_MEASURE_RESULT_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/ingest/job.h"
#include "benchtrue/report/buffer.h"
#include "benchtrue/report/text.h"
#include "benchtrue/surface/plan.h"

/*
 * `measure` of one job: which readings to take next, with what it names.
 */

/* Taken where neither job nor command line says; each common practice, no source. */
#define BT_ASSUMED_FEELER_STEP 0.05 /* mm: u of a gap is this over sqrt(12) */
#define BT_ASSUMED_U_DIAL 0.01      /* mm */
#define BT_ASSUMED_U_LEVEL 0.0001   /* mm/mm */
#define BT_ASSUMED_U_STICKS 0.25    /* mm */
#define BT_ASSUMED_FEET 300.0       /* mm, of a bar; 12 in in inches */
#define BT_ASSUMED_AIM 0.1          /* mm: u of cup, bow and twist without a limit */

struct bt_measure_request {
    double aim[3]; /* u wanted of cup, bow, twist, mm; all NaN: from the limits */
    double edge;   /* length of the straightedge, mm; NaN: that of the instrument, else
                      long enough for all */
    double feet;   /* distance of the feet of a bar, mm; NaN: that of the instrument,
                      else assumed */
    bool afresh;   /* as if nothing had been read */
};

enum bt_aim_source { BT_AIM_TYPED, BT_AIM_LIMITS, BT_AIM_ASSUMED };

struct bt_measure_tool {
    const char *name; /* of the job's section; NULL: taken for granted */
    bool u_assumed, feet_assumed;
};

struct bt_measure_answer {
    const struct bt_job *job;
    const struct bt_set *set; /* whose readings are added to; NULL: none */
    bool scan_left_out;       /* the set is a scan, to which nothing can be added */
    struct bt_plan_request request;
    struct bt_plan_instrument *instrument; /* [request.ninstrument] */
    struct bt_measure_tool *tool;          /* [request.ninstrument] */
    enum bt_aim_source aim_source;
    bool for_planing;              /* a limit is over: the whole face is planned for */
    double limit[BT_PLAN_FIGURES]; /* mm, that the aim comes from; NaN */
    struct bt_plan plan;
    bool supports_known;  /* species and thickness are */
    char wood[208];       /* that it is reckoned with */
    double support[2];    /* x of two battens across the grain on which it sags least */
    double sag, sag_ends; /* mm: what is left, and on battens at its ends */
};

/*
 * Plan for a job.
 *
 * Aim from a limit T: u <= T/(2 z), z the normal quantile of the job's confidence.  The
 * verdict is open where the figure is within about z u of its limit (JCGM 106:2012,
 * 8.3.2, guard band; from memory): so a panel of less than half its limit is called
 * `within`, one of more than half as much again `over`.  For range, zone and gaps the
 * smallest limit counts, and sqrt(2) for the two heights of a difference.
 *
 * Where the set read so far is over a limit and does not show the whole face, which
 * `decide` needs to say where to plane, cup, bow, twist and surface are all planned
 * for; those without a limit of their own by the smallest that there is.
 *
 * The u of the panel's own weight on its supports (report/own_weight.h) is not in what
 * is expected before and after; bt_set_evaluate adds it to bow, range and the like.
 *
 *   job   read with its latest set alone, or all
 *   out   to be freed with bt_measure_answer_clear, also after an error; job must
 *         outlive it
 *
 * Returns BT_OK; BT_EINPUT (length or width of the panel not stated, a bar that is all
 * there is and does not fit on the panel, or as bt_plan_find); BT_ENOMEM.
 */
BT_API enum bt_status bt_measure_answer_find(const struct bt_job *job,
                                             const struct bt_measure_request *request,
                                             struct bt_measure_answer *out,
                                             struct bt_error *err);

/* Free and set to zero; NULL is accepted. */
BT_API void bt_measure_answer_clear(struct bt_measure_answer *answer);

/* Whether every aim will be met. */
BT_API bool bt_measure_answer_reached(const struct bt_measure_answer *answer);

/* `cup`, `bow`, `twist`, `surface`. */
BT_API const char *bt_measure_figure_name(enum bt_plan_figure figure);

/* What a step is called, alike in text, JSON, figure and files, and different for each:
 * `back edge`, `diagonal A-C`, `diagonal A-C again`, `along at y 187.5 mm`, `set-up 2`.
 */
BT_API void bt_measure_step_name(const struct bt_measure_answer *answer, size_t step,
                                 struct bt_buffer *out);

/*
 * For people, and for programs; as joint_text.h and joint_json.h say.  Each returns
 * BT_OK or BT_ENOMEM.
 */
BT_API enum bt_status bt_text_measure(const struct bt_measure_answer *answer,
                                      const struct bt_text_options *options,
                                      struct bt_buffer *out);
BT_API enum bt_status bt_json_measure(const struct bt_measure_answer *answer,
                                      struct bt_buffer *out);

/*
 * The rows of the plan that are read with one kind of instrument, ready to fill in, as
 * a readings file.  The uncertainty planned with stands in its own column where the job
 * does not state one.  Nothing is added where no step is of that kind.
 *
 * Returns BT_OK or BT_ENOMEM.
 */
BT_API enum bt_status bt_measure_csv(const struct bt_measure_answer *answer,
                                     enum bt_plan_kind kind, struct bt_buffer *out);

#endif

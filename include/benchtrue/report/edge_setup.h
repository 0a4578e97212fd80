/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_EDGE_SETUP_H
#define BENCHTRUE_REPORT_EDGE_SETUP_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/ingest/job.h"

/*
 * What the joint room is told about a job: boards, the errors of their edges, and what
 * was taken where the job does not say.  Lengths in mm, angles in rad.
 */

/* Taken where nothing is stated; each common practice, no source. */
#define BT_ASSUMED_U_FENCE                                                             \
    0.0017453292519943296                         /* 0.1 deg: set by eye with a square \
                                                   */
#define BT_ASSUMED_SCATTER 0.00052359877559829883 /* 0.03 deg: from edge to edge */
#define BT_ASSUMED_U_TAPER 0.05 /* mm: of boards planed to thickness */

struct bt_edge_setup {
    size_t nboard;
    struct bt_strip *strip;       /* [nboard]; taper 0 where it is not stated */
    struct bt_board_rule *rule;   /* [nboard] */
    bool thickness_known;         /* of every board; else no strip may be used */
    bool panel_thickness;         /* of a board at least the panel's was taken */
    bool fence_read;              /* there are checks; else e is 0, u_e assumed */
    struct bt_fence_result fence; /* zeroes where there are none */
    /* scatter: what the job states or BT_ASSUMED_SCATTER, with twist_scatter. */
    struct bt_edge_errors errors;
    bool scatter_assumed, u_taper_assumed;
    double own_scatter; /* without twist_scatter */
    /* What a fence that is twisted along its length adds from edge to edge: an edge
     * takes its angle somewhere between infeed and outfeed end, wherever the hand
     * presses, evenly anywhere (common practice, no source): |twist|/sqrt(12).  A feed
     * that is alike for every edge would cancel in each joint. */
    double twist_scatter;
};

/*
 * Read it off a job and combine the checks of its fence.
 *
 *   setup  out: to be freed with bt_edge_setup_clear, also after an error
 *
 * Returns what bt_fence_combine returns; the message then begins with file and line of
 * the check where there is one.
 */
BT_API enum bt_status bt_edge_setup_find(const struct bt_job *job,
                                         struct bt_edge_setup *setup,
                                         struct bt_error *err);

/*
 * Boards with a width and a thickness, which a cross-section needs.  Returns BT_OK, or
 * BT_EINPUT with a message that says what to write.
 */
BT_API enum bt_status bt_edge_setup_boards(const struct bt_edge_setup *setup,
                                           struct bt_error *err);

/*
 * Find how to run the boards.  For the best pattern cups are compared in steps of half
 * the u that the edges' own errors give them (0.01 mm at least), largest kinks in steps
 * of theirs: no board leaves the order for a gain that nobody could tell from scatter.
 *
 *   pattern  BT_PATTERNS: that of the job
 *   plan     out: to be freed with bt_edge_plan_clear
 *
 * Returns what bt_edge_plan_find returns; the message then begins with file and line,
 * if there is a file, and the name of the board at fault.
 */
BT_API enum bt_status bt_edge_setup_plan(const struct bt_edge_setup *setup,
                                         const struct bt_job *job,
                                         enum bt_pattern pattern,
                                         struct bt_edge_plan *plan,
                                         struct bt_error *err);

/*
 * bt_judge of a cup or an opening against a limit, but never `over` for a value within
 * the limit: with a u that dwarfs the limit the true size is hardly within, and yet
 * nobody knows it to be over; that is too close to call.
 */
BT_API struct bt_judgement bt_joint_judge(const struct bt_measured *m, double limit,
                                          double confidence);

/* Freed and zeroed; zeroes are accepted. */
BT_API void bt_edge_setup_clear(struct bt_edge_setup *setup);

#endif

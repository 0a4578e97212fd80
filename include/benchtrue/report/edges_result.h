/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_EDGES_RESULT_H
#define BENCHTRUE_REPORT_EDGES_RESULT_H

#include <stdint.h>

#include "benchtrue/joint/dry_fit.h"
#include "benchtrue/joint/scatter.h"
#include "benchtrue/joint/spring.h"
#include "benchtrue/judge/limits.h"
#include "benchtrue/report/edge_setup.h"

/* Gap that a glue is taken to bridge where none is stated, mm (dry fit of the trade, no
 * 0.1 mm feeler enters; from memory). */
#define BT_ASSUMED_GLUE_GAP 0.1

/* What the glue bridges, mm, and where that is from. */
struct bt_glue_gap {
    double most;
    const char *source;
    bool assumed; /* no glue is stated */
};

/* A joint laid together dry. */
struct bt_edges_dry {
    const struct bt_dry_fit *read;
    struct bt_dry_joint fit;
};

/* A spring joint, one for each joint of the panel. */
struct bt_edges_spring {
    size_t joint;
    double length;              /* mm */
    struct bt_spring_joint aim; /* figures for the hollow to aim for */
    bool read;                  /* its dry fit shows a hollow: */
    struct bt_spring_joint dry; /* figures for that */
};

/* The best plan that feeds no edge against a grain that is known. */
struct bt_edges_grain {
    bool asked; /* the plan has edges against the grain where that is allowed */
    bool found;
    char none[480]; /* why there is none; "" */
    struct bt_edge_plan plan;
    struct bt_section section;
};

/* `edges` of one job. */
struct bt_edges_answer {
    const struct bt_job *job;
    struct bt_edge_setup setup;
    enum bt_pattern pattern; /* that was asked for */
    struct bt_edge_plan plan;
    struct bt_section section;
    struct bt_edges_grain grain;    /* what obeying the grain would cost */
    struct bt_forgotten *forgotten; /* [setup.nboard], worst first */
    uint64_t seed;
    struct bt_scatter_result scatter;
    struct bt_glue_gap gap;
    size_t ndry;
    struct bt_edges_dry *dry; /* ascending by joint */
    size_t nspring;           /* 0: not computed, see spring_missing */
    struct bt_edges_spring *spring;
    char spring_missing[480]; /* what to write so that springs are computed; "" */
    char wood[80];            /* of the back board, for which the values stand: */
    double E, G;              /* MPa, along the grain; NaN not known */
    char E_source[160], G_source[160];
    bool woods_differ;  /* other boards are of other species, reckoned with theirs */
    size_t nclamp;      /* planned, on which the springs are reckoned */
    double clamp_force; /* N each, the least of the kinds; NaN not known */
    bool clamp_assumed; /* no clamps could be planned: one at the middle was taken */
    bool judged;        /* the job limits the cup */
    struct bt_judgement cup;
    /* p_within and verdict of the largest opening against gap.most: the joint whose
     * opening keeps it with the least probability. */
    size_t worst_joint;          /* section.njoint: none */
    struct bt_judgement opening; /* figure is of no meaning */
};

struct bt_edges_request {
    enum bt_pattern pattern; /* BT_PATTERNS: that of the job */
    size_t draws;            /* 0: BT_EDGES_DRAWS */
    uint64_t seed;
};

enum { BT_EDGES_DRAWS = 10000 };

/*
 * Plan the edges of a job's boards.
 *
 *   request  NULL: the job's pattern, BT_EDGES_DRAWS, seed 0
 *   out      to be freed with bt_edges_answer_clear, also after an error
 *
 * Returns BT_OK; BT_EINPUT (no boards, no thickness; what the parts refuse);
 * BT_ESINGULAR (no way to run the boards under the rules: the message names the board);
 * BT_ENOMEM.
 */
BT_API enum bt_status bt_edges_answer_find(const struct bt_job *job,
                                           const struct bt_edges_request *request,
                                           struct bt_edges_answer *out,
                                           struct bt_error *err);

BT_API void bt_edges_answer_clear(struct bt_edges_answer *answer);

/* Cup and largest opening, then the dry joints: the worst of their verdicts; `over`
 * too where the plan breaks a rule. */
BT_API enum bt_verdict bt_edges_answer_verdict(const struct bt_edges_answer *answer);

/* What the glue of a job bridges. */
BT_API struct bt_glue_gap bt_glue_gap_of(const struct bt_job *job);

#endif

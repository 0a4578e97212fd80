/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_REPORT_STAGES_H
#define BENCHTRUE_REPORT_REPORT_STAGES_H

#include "benchtrue/draw/figure_clamps.h"
#include "benchtrue/draw/figure_edges.h"
#include "benchtrue/report/decide_result.h"
#include "benchtrue/report/edges_result.h"
#include "benchtrue/report/fence_result.h"
#include "benchtrue/report/glueup_result.h"
#include "benchtrue/report/layout_result.h"
#include "benchtrue/report/movement_result.h"
#include "benchtrue/report/opening_result.h"
#include "benchtrue/report/report_result.h"
#include "benchtrue/report/stock_result.h"
#include "benchtrue/report/text.h"
#include "benchtrue/report/trend_result.h"
#include "report/document_build.h"

/*
 * The stages of a report.  Private to the room.  A stage finds its answer, writes its
 * part of the document, and keeps what its figures are drawn from.
 */
enum { REPORT_STAGES = 16 };

struct report {
    const struct bt_job *job;
    struct bt_text_options text;
    struct document_build build;
    struct bt_decide_answer decide;
    struct bt_fence_answer fence;
    struct bt_edges_answer edges;
    struct bt_glueup_answer glueup;
    struct bt_trend_answer trend;
    struct bt_stock_answer stock;
    struct bt_opening_answer opening;
    bool opening_missing;                 /* it was read, and cannot be answered */
    struct bt_layout_report layout, laid; /* laid: the strips that movement counts */
    struct bt_movement_answer movement;
    struct bt_figure_input map;
    struct bt_edge_result edge[BT_EDGES_MAX];
    struct bt_edges_figure edges_figure;
    struct bt_clamps_figure clamps_figure;
    size_t summary_at; /* part before which the verdicts of all stages stand */
    size_t nverdict;
    struct report_verdict {
        const char *stage, *verdict;
    } verdict[REPORT_STAGES];
};

/* The first line of an answer's text as the verdict of the stage whose heading stands
 * last; the buffer is empty then. */
void report_verdict(struct report *report, struct bt_buffer *text);

/* A stage that cannot be answered: its title and why.  BT_OK, or the status where it
 * was no fault of the data. */
enum bt_status report_missing(struct report *report, const char *title,
                              enum bt_status status, const struct bt_error *err);

/* Each returns BT_OK, or what no document can be made with. */
enum bt_status report_made(struct report *report, struct bt_error *err);
enum bt_status report_panel(struct report *report, struct bt_error *err);
enum bt_status report_after(struct report *report, struct bt_error *err);
enum bt_status report_joints(struct report *report, struct bt_error *err);
enum bt_status report_stock(struct report *report, struct bt_error *err);
enum bt_status report_fit(struct report *report, struct bt_error *err);

/* What was read, with its hash, and the version. */
enum bt_status report_foot(struct report *report, const char *version,
                           const char **foot, struct bt_error *err);

#endif

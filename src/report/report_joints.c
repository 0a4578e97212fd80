/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How the boards became a panel: fence, edges, glue-up. */
#include <math.h>

#include "benchtrue/report/joint_text.h"
#include "report/joint_words.h"
#include "report/report_stages.h"
#include "report/words.h"

static enum bt_status add_fence(struct report *r, struct bt_error *err)
{
    struct document_build *b = &r->build;
    struct bt_buffer out = {0};
    enum bt_status status;

    if (r->job->fence.ncheck == 0)
        return BT_OK;
    status = bt_fence_answer_find(r->job, &r->fence, err);
    if (status != BT_OK)
        return report_missing(r, "The jointer's fence", status, err);
    document_heading(b, 2, "The jointer's fence");
    bt_text_fence(&r->fence, &r->text, &out);
    report_verdict(r, &out);
    if (!r->fence.boards_known)
        return BT_OK;
    document_table_begin(b, 2, 0);
    document_cell(b, "boards run");
    document_cell(b, "cup of the panel");
    document_cell(b, "the same face to the fence");
    bt_say_cup(&out, r->fence.same.section.cup.value, r->fence.same.section.cup.u,
               r->text.system);
    document_cell(b, kept_take(&b->kept, &out));
    document_cell(b, "faces alternating");
    bt_say_cup(&out, r->fence.alternate.section.cup.value,
               r->fence.alternate.section.cup.u, r->text.system);
    document_cell(b, kept_take(&b->kept, &out));
    return BT_OK;
}

/* ---- edges ---- */

static const char *mark_words(struct report *r, size_t board, bool front)
{
    struct bt_buffer out = {0};

    bt_say_mark(&out, r->job, board, front,
                front ? r->edges.plan.run[board].front : r->edges.plan.run[board].back);
    return kept_take(&r->build.kept, &out);
}

static enum bt_status draw_edges(const void *input, enum bt_figure_format format,
                                 struct bt_figure_bytes *out, struct bt_error *err)
{
    return bt_figure_edges(input, format, out, err);
}

static void add_marks(struct report *r)
{
    struct document_build *b = &r->build;

    document_table_begin(b, 2, 0);
    document_cell(b, "back edge of the board");
    document_cell(b, "its front edge");
    for (size_t i = 0; i < r->edges.plan.nboard; i++) {
        document_cell(b, mark_words(r, i, false));
        document_cell(b, mark_words(r, i, true));
    }
    document_text(b,
                  "in: the show face goes to the fence; out: it looks away from it.");
}

static enum bt_status add_edges(struct report *r, struct bt_error *err)
{
    struct document_build *b = &r->build;
    struct bt_buffer out = {0};
    enum bt_status status;

    if (r->job->nboard < 2)
        return BT_OK;
    status = bt_edges_answer_find(r->job, NULL, &r->edges, err);
    if (status != BT_OK)
        return report_missing(r, "The edges", status, err);
    document_heading(b, 2, "The edges");
    bt_text_edges_plan(&r->edges, &r->text, &out);
    report_verdict(r, &out);
    add_marks(r);
    r->edges_figure = (struct bt_edges_figure){.job = r->job,
                                               .plan = &r->edges.plan,
                                               .section = &r->edges.section,
                                               .pattern = r->edges.pattern,
                                               .feed = r->job->fence.feed,
                                               .errors = r->edges.setup.errors};
    document_figure(b, "Edges in the order in which they are run.", draw_edges,
                    &r->edges_figure);
    return BT_OK;
}

/* ---- glue-up ---- */

static enum bt_status draw_clamps(const void *input, enum bt_figure_format format,
                                  struct bt_figure_bytes *out, struct bt_error *err)
{
    return bt_figure_clamps(input, format, out, err);
}

static void add_time(struct report *r, const char *name, double value, const char *unit)
{
    char text[BT_PRINT_ROOM];

    if (isnan(value))
        return;
    document_cell(&r->build, name);
    document_cell(&r->build,
                  kept_say(&r->build.kept, "%s %s",
                           bt_print_length_bare(text, value, value / 20, BT_SYSTEM_MM,
                                                BT_LENGTH_FEELER),
                           unit));
}

static enum bt_status add_glueup(struct report *r, struct bt_error *err)
{
    struct document_build *b = &r->build;
    struct bt_buffer out = {0};
    enum bt_status status;

    if (r->job->nboard < 2)
        return BT_OK;
    status = bt_glueup_answer_find(r->job, NULL, &r->glueup, err);
    if (status != BT_OK)
        return report_missing(r, "The glue-up", status, err);
    document_heading(b, 2, "The glue-up");
    bt_text_glueup(&r->glueup, &r->text, &out);
    report_verdict(r, &out);
    document_table_begin(b, 2, 0);
    document_cell(b, "time");
    document_cell(b, "how long");
    add_time(r, "open", r->glueup.open_time.value, "min");
    add_time(r, "in the clamps", r->glueup.clamp_time.value, "min");
    add_time(r, "until full strength", r->glueup.full_time.value, "h");
    add_time(r, "until it may be surfaced", r->glueup.surface_days.value, "days");
    r->clamps_figure = (struct bt_clamps_figure){
        .job = r->job, .request = &r->glueup.request, .plan = &r->glueup.plan};
    document_figure(b, "Clamps, stage by stage.", draw_clamps, &r->clamps_figure);
    return BT_OK;
}

enum bt_status report_joints(struct report *r, struct bt_error *err)
{
    enum bt_status status = add_fence(r, err);

    if (status == BT_OK)
        status = add_edges(r, err);
    if (status == BT_OK)
        status = add_glueup(r, err);
    return status;
}

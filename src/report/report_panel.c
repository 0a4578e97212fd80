/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was made, what was read, and its form. */
#include <math.h>

#include "report/joint_words.h"
#include "report/report_stages.h"
#include "report/text_parts.h"
#include "report/words.h"

static void add_fact(struct document_build *b, const char *name, const char *value)
{
    if (!*value)
        return;
    document_cell(b, name);
    document_cell(b, value);
}

static const char *size_words(struct report *r)
{
    const struct bt_panel *p = &r->job->panel;
    struct bt_buffer out = {0};

    if (isnan(p->length) || isnan(p->width))
        return "";
    bt_words_rule(&out, p->length, r->text.system);
    bt_buffer_text(&out, " along the grain, ");
    bt_words_rule(&out, p->width, r->text.system);
    bt_buffer_text(&out, " across");
    if (!isnan(p->thickness)) {
        bt_buffer_text(&out, ", ");
        bt_words_rule(&out, p->thickness, r->text.system);
        bt_buffer_text(&out, " thick");
    }
    return kept_take(&r->build.kept, &out);
}

static const char *boards_words(struct report *r)
{
    struct bt_buffer out = {0};

    if (r->job->nboard == 0)
        return "";
    bt_words_count(&out, r->job->nboard, "board", "boards");
    bt_buffer_text(&out, ": ");
    for (size_t i = 0; i < r->job->nboard; i++) {
        bt_buffer_text(&out, i ? ", " : "");
        bt_buffer_name(&out, r->job->board[i].name);
        bt_buffer_text(&out, " (");
        bt_words_rule(&out, r->job->board[i].width, r->text.system);
        bt_buffer_text(&out, ")");
    }
    return kept_take(&r->build.kept, &out);
}

enum bt_status report_made(struct report *r, struct bt_error *err)
{
    struct document_build *b = &r->build;

    (void)err;
    document_heading(b, 2, "What is being made");
    document_table_begin(b, 2, 0);
    document_cell(b, "what");
    document_cell(b, "as the job states it");
    add_fact(b, "size", size_words(r));
    add_fact(b, "wood", r->job->panel.species);
    add_fact(b, "boards, from the back edge", boards_words(r));
    add_fact(b, "limits from the use", r->job->limits.use);
    add_fact(b, "client", r->job->client);
    r->summary_at = b->npart;
    return BT_OK;
}

/* ---- the figures ---- */

static const char *value_words(struct report *r, enum bt_figure figure)
{
    const struct bt_set_result *result = &r->decide.result;
    const struct bt_measured *m = bt_set_figure(result, figure);
    struct bt_buffer out = {0};
    char text[BT_PRINT_ROOM];

    if (!m->seen)
        return "not seen";
    bt_buffer_format(
        &out, "%s %s",
        bt_print_length(text, fabs(m->value), m->u, r->text.system, BT_LENGTH_FEELER),
        figure == BT_FIGURE_ZONE ? "between planes" : bt_words_shape(figure, m->value));
    return kept_take(&r->build.kept, &out);
}

static const char *doubt_words(struct report *r, enum bt_figure figure)
{
    const struct bt_measured *m = bt_set_figure(&r->decide.result, figure);
    const struct bt_sure *sure = bt_set_sure(&r->decide.result, figure);
    char lo[BT_PRINT_ROOM], hi[BT_PRINT_ROOM];
    double u;

    if (!m->seen)
        return "";
    if (!sure || isnan(sure->hi))
        return kept_say(&r->build.kept, "u %s",
                        bt_print_u_bare(lo, m->u, r->text.system));
    u = (sure->hi - sure->lo) / 4;
    return kept_say(
        &r->build.kept, "%s to %s",
        bt_print_length_bare(lo, sure->lo, u, r->text.system, BT_LENGTH_FEELER),
        bt_print_length(hi, sure->hi, u, r->text.system, BT_LENGTH_FEELER));
}

static void add_figure_row(struct report *r, enum bt_figure figure)
{
    const struct bt_judgement *j = bt_set_judgement(&r->decide.result, figure);
    struct document_build *b = &r->build;
    char text[BT_PRINT_ROOM];

    document_cell(b, bt_figure_name(figure));
    document_cell(b, value_words(r, figure));
    document_cell(b, doubt_words(r, figure));
    document_cell(b, j ? kept_say(&b->kept, "%s",
                                  bt_print_length(text, j->limit, 0, r->text.system,
                                                  BT_LENGTH_FEELER))
                       : "none");
    document_cell(b, j ? bt_verdict_text(j->verdict) : "");
}

static void add_figures(struct report *r)
{
    struct document_build *b = &r->build;

    document_table_begin(b, 5, 0);
    document_cell(b, "figure");
    document_cell(b, "value");
    document_cell(b, "doubt");
    document_cell(b, "limit");
    document_cell(b, "verdict");
    for (int i = 0; i < BT_FIGURE_COUNT; i++)
        if (i != BT_FIGURE_LOCAL || r->decide.result.span_asked)
            add_figure_row(r, (enum bt_figure)i);
    document_text(b, "Doubt: u is the standard uncertainty, the truth lies within 2 u "
                     "about 95 times in 100; of range, zone and local the two values "
                     "between which it lies at least as often.");
}

static const char *read_words(struct report *r)
{
    const struct bt_set *set = r->decide.set;
    struct bt_buffer out = {0};

    bt_buffer_text(&out, "Set '");
    bt_buffer_name(&out, set->name);
    bt_buffer_format(&out, "', %s, %s face up: ", *set->date ? set->date : "undated",
                     set->face == BT_FACE_TOP ? "top" : "bottom");
    bt_text_readings(&out, set);
    bt_buffer_text(&out, ". Their uncertainty: ");
    bt_text_origins(&out, set);
    bt_buffer_text(&out, ".");
    return kept_take(&r->build.kept, &out);
}

static enum bt_status draw_map(const void *input, enum bt_figure_format format,
                               struct bt_figure_bytes *out, struct bt_error *err)
{
    return bt_figure_map(input, format, out, err);
}

static void add_map(struct report *r)
{
    const struct bt_extremes *extremes = &r->decide.result.extremes;

    r->map =
        (struct bt_figure_input){.job = r->job,
                                 .set = r->decide.set,
                                 .flatness = &r->decide.result.flatness,
                                 .zone = extremes->zone_seen ? &extremes->zone : NULL,
                                 .edge = r->edge,
                                 .band = extremes->band};
    for (size_t i = 0; i < extremes->nedge; i++)
        if (extremes->edge[i].gap.seen && extremes->edge[i].gap.value > 0)
            r->edge[r->map.nedge++] = extremes->edge[i].at;
    document_figure(&r->build, "Map of the panel: heights over the mean plane.",
                    draw_map, &r->map);
}

enum bt_status report_panel(struct report *r, struct bt_error *err)
{
    const size_t latest = bt_job_latest(r->job);
    struct bt_buffer out = {0};
    enum bt_status status;

    if (latest == r->job->nset) {
        document_heading(&r->build, 2, "Is it flat");
        document_text(&r->build, "The panel has not been read yet: benchtrue measure "
                                 "says which readings to take.");
        return BT_OK;
    }
    status = bt_decide_answer_find(r->job, &r->job->set[latest], &r->decide, err);
    if (status != BT_OK)
        return report_missing(r, "Is it flat", status, err);
    document_heading(&r->build, 2, "Is it flat");
    bt_text_verdict(&out, &r->decide.result, &r->text);
    report_verdict(r, &out);
    document_text(&r->build, read_words(r));
    add_figures(r);
    add_map(r);
    return BT_OK;
}

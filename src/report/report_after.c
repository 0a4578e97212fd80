/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Why it is as it is, what to do, and whether it still moves. */
#include <math.h>

#include "benchtrue/report/trend_text.h"
#include "report/decide_words.h"
#include "report/joint_words.h"
#include "report/report_stages.h"
#include "report/words.h"

static const char *left_words(struct report *r, const struct bt_choice *c)
{
    struct bt_buffer out = {0};

    if (c->thickness.seen) {
        bt_decide_say_size(&out, &c->thickness, r->text.system);
        bt_buffer_text(&out, " thick");
    }
    if (c->width.seen) {
        bt_buffer_text(&out, c->thickness.seen ? ", " : "");
        bt_decide_say_size(&out, &c->width, r->text.system);
        bt_buffer_text(&out, " wide");
    }
    return kept_take(&r->build.kept, &out);
}

static const char *why_words(struct report *r, const struct bt_choice *c)
{
    struct bt_buffer out = {0};

    if (c->state == BT_CHOICE_POSSIBLE)
        return bt_decide_rank_words(c);
    bt_buffer_text(&out, c->state == BT_CHOICE_OPEN ? "cannot tell: " : "no: ");
    bt_decide_say_reason(&out, &r->decide, c, r->text.system);
    return kept_take(&r->build.kept, &out);
}

static void add_choices(struct report *r)
{
    struct document_build *b = &r->build;

    document_heading(b, 3, "What can be done, best first");
    document_table_begin(b, 4, 0);
    document_cell(b, "choice");
    document_cell(b, "why here");
    document_cell(b, "leaves");
    document_cell(b, "risks");
    for (int i = 0; i < BT_CHOICES; i++) {
        const struct bt_choice *c = &r->decide.choices.choice[i];

        document_cell(b, bt_choice_name(c->kind));
        document_cell(b, why_words(r, c));
        document_cell(b, c->state == BT_CHOICE_NOT ? "" : left_words(r, c));
        document_cell(
            b, c->state == BT_CHOICE_NOT ? "" : bt_decide_risk(&r->decide, c->kind));
    }
}

static enum bt_status draw_removal(const void *input, enum bt_figure_format format,
                                   struct bt_figure_bytes *out, struct bt_error *err)
{
    return bt_decide_draw(input, format, out, err);
}

static void add_decision(struct report *r)
{
    struct document_build *b = &r->build;
    const struct bt_causes *causes = &r->decide.causes;
    struct bt_buffer out = {0};

    document_heading(b, 2, "What to do");
    bt_text_decide(&r->decide, &r->text, &out);
    report_verdict(r, &out);
    if (causes->shown)
        document_text(b, kept_say(&b->kept, "Most likely why: %s. %s",
                                  bt_cause_name(causes->cause[0].kind),
                                  bt_cause_sentence(causes->cause[0].kind)));
    add_choices(r);
    if (r->decide.map_known)
        document_figure(b, "What comes off where, to chalk on the panel.", draw_removal,
                        &r->decide);
}

/* ---- trend ---- */

/* `0.15 mm hollow (u 0.03)`. */
static const char *form_words(struct report *r, const struct bt_trend_set *set,
                              enum bt_figure figure)
{
    const struct bt_measured *m = bt_trend_figure(set, figure);
    char text[BT_PRINT_ROOM], u[BT_PRINT_ROOM];

    if (!m->seen)
        return "not seen";
    return kept_say(
        &r->build.kept, "%s %s (u %s)",
        bt_print_length(text, fabs(m->value), m->u, r->text.system, BT_LENGTH_FEELER),
        bt_words_shape(figure, m->value), bt_print_u_bare(u, m->u, r->text.system));
}

/* Without a way where it rounds to nothing. */
static const char *change_words(struct report *r, const struct bt_measured *change)
{
    char text[BT_PRINT_ROOM], u[BT_PRINT_ROOM];

    if (!change->seen)
        return "not seen";
    return kept_say(&r->build.kept, "%s (u %s)",
                    bt_print_length(text, fabs(change->value), change->u,
                                    r->text.system, BT_LENGTH_FEELER),
                    bt_print_u_bare(u, change->u, r->text.system));
}

static enum bt_status draw_trend(const void *input, enum bt_figure_format format,
                                 struct bt_figure_bytes *out, struct bt_error *err)
{
    return bt_trend_draw(input, format, out, err);
}

static enum bt_status add_trend(struct report *r, struct bt_error *err)
{
    struct document_build *b = &r->build;
    struct bt_buffer out = {0};
    enum bt_status status;

    if (r->job->nset < 2)
        return BT_OK;
    status = bt_trend_answer_find(r->job, NULL, &r->trend, err);
    if (status != BT_OK)
        return report_missing(r, "Does it still move", status, err);
    document_heading(b, 2, "Does it still move");
    bt_text_trend(&r->trend, &r->text, &out);
    report_verdict(r, &out);
    document_table_begin(b, 5, 0);
    document_cell(b, "figure");
    document_cell(b,
                  kept_say(&b->kept, "on %s", r->trend.set[r->trend.before].set->date));
    document_cell(b,
                  kept_say(&b->kept, "on %s", r->trend.set[r->trend.latest].set->date));
    document_cell(b, "change");
    document_cell(b, "verdict");
    for (int i = 0; i < BT_TREND_FIGURES; i++) {
        const struct bt_trend_line *line = &r->trend.line[i];

        document_cell(b, bt_figure_name(line->figure));
        document_cell(b, form_words(r, &r->trend.set[r->trend.before], line->figure));
        document_cell(b, form_words(r, &r->trend.set[r->trend.latest], line->figure));
        document_cell(b, change_words(r, &line->change));
        document_cell(b, bt_trend_verdict_text(line->verdict));
    }
    document_text(b, "Mind: wood taken off between two sets shows as movement too.");
    document_figure(b, "Cup, bow and twist over the days.", draw_trend, &r->trend);
    return BT_OK;
}

enum bt_status report_after(struct report *r, struct bt_error *err)
{
    if (r->decide.set)
        add_decision(r);
    return add_trend(r, err);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "benchtrue/report/decide_result.h"
#include "report/joint_words.h"
#include "report/text_cautions.h"
#include "report/text_decide_choices.h"
#include "report/text_parts.h"
#include "report/words.h"

/* ---- the first line ---- */

static void say_wrong(struct bt_buffer *out, const struct bt_decide_answer *a,
                      enum bt_system system)
{
    const char *between = "";

    for (size_t i = 0; i < a->result.njudgement; i++) {
        const struct bt_judgement *j = &a->result.judgement[i];

        if (j->verdict == BT_WITHIN)
            continue;
        bt_buffer_text(out, between);
        if (j->verdict == BT_NOT_SEEN)
            bt_buffer_format(out, "%s is not seen", bt_figure_name(j->figure));
        else
            bt_words_figure(out, &a->result, j->figure, system);
        if (j->verdict != BT_NOT_SEEN) {
            bt_buffer_format(out, ", %s ",
                             j->verdict == BT_OVER ? "over its limit of"
                                                   : "too close to its limit of");
            bt_say_length(out, j->limit, 0, system);
        }
        between = "; ";
    }
}

/* Within today and moving: it may not be tomorrow. */
static void say_leave(struct bt_buffer *out, const struct bt_decide_answer *a)
{
    char date[BT_DATE_ROOM];

    if (!a->trend_known || a->trend.verdict != BT_TREND_MOVED) {
        bt_buffer_text(out, "go on with the work");
        return;
    }
    bt_buffer_text(out, "leave it, but do not fit it yet, it still moves: read it "
                        "again");
    if (a->next_known)
        bt_buffer_format(out, " on %s", bt_date_of_day(date, a->next_day));
}

static void say_next(struct bt_buffer *out, const struct bt_decide_answer *a)
{
    const struct bt_choice *best = bt_choices_best(&a->choices);
    char date[BT_DATE_ROOM];

    if (!best) {
        bt_buffer_text(out, "nothing can be said to work yet: see what is missing");
        return;
    }
    if (best->kind == BT_CHOICE_LEAVE) {
        say_leave(out, a);
        return;
    }
    bt_buffer_text(out, bt_choice_name(best->kind));
    if (best->kind == BT_CHOICE_WAIT && a->next_known)
        bt_buffer_format(out, " on %s", bt_date_of_day(date, a->next_day));
}

static void say_verdict(struct bt_buffer *out, const struct bt_decide_answer *a,
                        const struct bt_text_options *options)
{
    const enum bt_verdict verdict = bt_decide_answer_verdict(a);

    bt_text_paint(out, options, verdict == BT_NOT_SEEN ? BT_TOO_CLOSE : verdict,
                  verdict == BT_WITHIN ? "Leave it"
                  : verdict == BT_OVER ? "To be done"
                                       : "Cannot tell");
    bt_buffer_text(out, ": ");
    if (verdict == BT_WITHIN)
        bt_buffer_text(out, "every limit holds");
    else if (a->result.njudgement == 0)
        bt_buffer_text(out, "the job states no limits");
    else
        say_wrong(out, a, options->system);
    bt_buffer_text(out, ". Next: ");
    say_next(out, a);
    bt_buffer_text(out, ".\n");
}

/* ---- why ---- */

static void say_tenths(struct bt_buffer *out, double value)
{
    const long tenths = lround(fabs(value) * 10);

    bt_buffer_format(out, "%ld.%ld", tenths / 10, tenths % 10);
}

/* With its sign, to a tenth. */
static void say_points(struct bt_buffer *out, double points)
{
    if (lround(fabs(points) * 10) != 0)
        bt_buffer_text(out, points < 0 ? "-" : "+");
    say_tenths(out, points);
}

static void say_fence(struct bt_buffer *out, const struct bt_decide_answer *a)
{
    bt_buffer_text(out, ": ");
    bt_say_angle(out, a->panel.e.value, a->panel.e.u);
    bt_buffer_text(out, a->panel.e.value < 0 ? " under" : " over");
    bt_buffer_text(out, " square (u ");
    bt_say_angle_u(out, a->panel.e.u);
    bt_buffer_text(out, "), the checks say ");
    bt_say_angle(out, a->setup.fence.e.value, a->setup.fence.e.u);
    bt_buffer_text(out, a->setup.fence.e.value < 0 ? " under" : " over");
    bt_buffer_text(out, " (u ");
    bt_say_angle_u(out, a->setup.fence.e.u);
    bt_buffer_text(out, "), ");
    say_tenths(out, fmin(a->panel_score < 0 ? -a->panel_score : a->panel_score, 1e6));
    bt_buffer_text(out, " u apart");
}

/* Whether a cause above lacks the same and says what to do about it. */
static bool said_above(const struct bt_decide_answer *a, const struct bt_cause *cause,
                       enum bt_evidence_kind kind)
{
    for (const struct bt_cause *c = a->causes.cause; c < cause; c++)
        for (size_t i = 0; i < c->npoint; i++)
            if (c->point[i].kind == kind && !c->point[i].known)
                return true;
    return false;
}

static void add_point(struct bt_buffer *out, const struct bt_decide_answer *a,
                      const struct bt_cause *cause, const struct bt_cause_point *p)
{
    bt_buffer_text(out, "     ");
    if (p->known) {
        say_points(out, p->points);
        bt_buffer_column(out, 12);
        bt_buffer_text(out, bt_evidence_name(p->kind));
        if (p->kind == BT_EVIDENCE_FENCE)
            say_fence(out, a);
    } else {
        bt_buffer_text(out, "missing");
        bt_buffer_column(out, 14);
        bt_buffer_format(out, "%s: %s", bt_evidence_name(p->kind),
                         said_above(a, cause, p->kind) ? "as above"
                                                       : bt_evidence_missing(p->kind));
    }
    bt_buffer_text(out, "\n");
}

static void add_cause(struct bt_buffer *out, const struct bt_decide_answer *a,
                      const struct bt_cause *cause, bool explained)
{
    bt_buffer_format(out, "  %s", bt_cause_name(cause->kind));
    bt_buffer_column(out, 42);
    if (cause->known)
        say_points(out, cause->points);
    else
        bt_buffer_text(out, "not known");
    bt_buffer_text(out, "\n");
    if (explained)
        bt_buffer_format(out, "     %s\n", bt_cause_sentence(cause->kind));
    for (size_t i = 0; i < cause->npoint; i++)
        add_point(out, a, cause, &cause->point[i]);
}

/* A board that went the other way, where the kinks say so. */
static void add_forgotten(struct bt_buffer *out, const struct bt_decide_answer *a)
{
    if (!a->panel_known)
        return;
    if (a->panel.same_face) {
        bt_buffer_text(out, "\n  The kinks are those of boards that all went with the "
                            "show face to the fence, not of the planned way.\n");
    } else if (a->panel.forgotten < a->setup.nboard) {
        bt_buffer_text(out, "\n  The kinks fit the planned way of running the boards "
                            "only if board ");
        bt_say_board(out, a->job, a->panel.forgotten);
        bt_buffer_text(out, " went with the other face to the fence.\n");
    }
}

static void add_causes(struct bt_buffer *out, const struct bt_decide_answer *a)
{
    const struct bt_causes *causes = &a->causes;

    bt_buffer_text(out, "\nWhy");
    if (!causes->shown)
        bt_buffer_text(out, ": the readings do not show a cause");
    else if (!causes->clear)
        bt_buffer_text(out, ": more than one cause is left");
    bt_buffer_text(out, "\n\n  cause");
    bt_buffer_column(out, 42);
    bt_buffer_text(out, "points for it (+3: 20 times likelier than not)\n");
    for (size_t i = 0; i < BT_CAUSES; i++)
        add_cause(out, a, &causes->cause[i], causes->shown && i < 2);
    add_forgotten(out, a);
    if (*causes->test)
        bt_buffer_format(out, "\n  To tell %s from %s: %s\n",
                         bt_cause_name(causes->cause[0].kind),
                         bt_cause_name(causes->cause[1].kind), causes->test);
}

/* ---- movement ---- */

static void add_movement(struct bt_buffer *out, const struct bt_decide_answer *a)
{
    bt_buffer_text(out, "\nMoving:    ");
    if (a->trend_known) {
        bt_buffer_text(out, bt_trend_verdict_text(a->trend.verdict));
        bt_buffer_text(out, " (benchtrue trend says more; wood taken off between two "
                            "sets shows as movement)\n");
    } else {
        bt_buffer_text(out, "not known, ");
        bt_buffer_name(out, a->trend_missing);
        bt_buffer_text(out, "\n");
    }
}

/* Whether anything that is not refused takes off wood. */
static bool proposes_work(const struct bt_decide_answer *a)
{
    for (size_t i = 0; i < BT_CHOICES; i++) {
        const struct bt_choice *c = &a->choices.choice[i];

        if (c->state != BT_CHOICE_NOT && c->kind != BT_CHOICE_LEAVE &&
            c->kind != BT_CHOICE_WAIT && c->kind != BT_CHOICE_PULL)
            return true;
    }
    return false;
}

enum bt_status bt_text_decide(const struct bt_decide_answer *answer,
                              const struct bt_text_options *options,
                              struct bt_buffer *out)
{
    say_verdict(out, answer, options);
    bt_buffer_text(out, "\n");
    if (answer->job->title && *answer->job->title) {
        bt_buffer_name(out, answer->job->title);
        bt_buffer_text(out, "\n");
    }
    bt_buffer_text(out, "By the set ");
    bt_buffer_name(out, answer->set->name);
    if (*answer->set->date)
        bt_buffer_format(out, ", %s", answer->set->date);
    bt_buffer_text(out, "\n");
    add_causes(out, answer);
    add_movement(out, answer);
    bt_text_decide_choices(out, answer, options);
    bt_text_decide_map(out, answer, options);
    bt_text_notes(out, answer->job);
    if (proposes_work(answer))
        bt_text_cautions(out, answer->job, BT_CAUTION_DECIDE);
    return bt_buffer_status(out);
}

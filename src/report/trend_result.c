/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/trend_result.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/report/buffer.h"
#include "benchtrue/report/own_weight.h"
#include "report/trend_fits.h"

const struct bt_measured *bt_trend_figure(const struct bt_trend_set *set,
                                          enum bt_figure figure)
{
    const struct bt_form *form = &set->parts.form;

    return figure == BT_FIGURE_CUP   ? &form->cup
           : figure == BT_FIGURE_BOW ? &form->bow
                                     : &form->twist;
}

const char *bt_trend_left_out(const struct bt_trend_set *set)
{
    switch (set->use) {
    case BT_TREND_USED:
        break;
    case BT_TREND_UNDATED:
        return "no date";
    case BT_TREND_BEFORE:
        return "before the day asked for";
    case BT_TREND_BLANK:
        return "no reading yet";
    case BT_TREND_OTHER_FACE:
        return set->set->face == BT_FACE_BOTTOM ? "read on the bottom face"
                                                : "read on the top face";
    case BT_TREND_NO_SURFACE:
        return set->why;
    }
    return "";
}

/* ---- which sets ---- */

/* By date, undated first; few enough for insertion. */
static enum bt_status list_sets(const struct bt_job *job, struct bt_trend_answer *a)
{
    a->set = bt_alloc(job->nset, sizeof *a->set);
    a->used = bt_alloc(job->nset, sizeof *a->used);
    if (!a->set || !a->used)
        return BT_ENOMEM;
    a->nset = job->nset;
    for (size_t i = 0; i < job->nset; i++) {
        size_t to = i;

        for (; to > 0 && strcmp(a->set[to - 1].set->date, job->set[i].date) > 0; to--)
            a->set[to] = a->set[to - 1];
        a->set[to] = (struct bt_trend_set){.set = &job->set[i], .agreement = NAN};
    }
    return BT_OK;
}

static bool is_blank(const struct bt_set *set)
{
    return set->readings.nobs == 0 && !set->readings.scan;
}

/* What is known of a set before it is evaluated. */
static void sort_out(struct bt_trend_set *s, const struct bt_trend_request *request)
{
    const bool dated = bt_day_of_date(s->set->date, &s->day);

    /* first what would be in the way whatever was asked for */
    if (is_blank(s->set))
        s->use = BT_TREND_BLANK;
    else if (!dated)
        s->use = BT_TREND_UNDATED;
    else if (request->only && s->day < request->since)
        s->use = BT_TREND_BEFORE;
}

/* rectangle: of the latest set, which is the first to come here; NULL then. */
static enum bt_status evaluate(const struct bt_job *job, struct bt_trend_set *s,
                               const struct bt_rectangle *rectangle,
                               struct bt_error *err)
{
    struct bt_flatness flatness;
    struct bt_error own = {.code = BT_OK};
    struct bt_own_weight weight;
    enum bt_status status = bt_own_weight_find(job, s->set, &weight, &own);
    const struct bt_flatness_options options = {.length = job->panel.length,
                                                .width = job->panel.width,
                                                .one_reference = s->set->one_reference,
                                                .sag = weight.sag,
                                                .sag_u = weight.u};

    memset(&flatness, 0, sizeof flatness);
    if (status == BT_OK)
        status = bt_flatness_evaluate(&s->set->readings, &options, &flatness, &own);

    if (status == BT_OK) {
        s->nsuspect = flatness.nsuspect;
        s->agreement = flatness.agreement;
        status = bt_form_parts_find(flatness.all, &flatness,
                                    rectangle ? rectangle : &flatness.form.rectangle,
                                    &s->parts, &own);
    }
    bt_flatness_clear(&flatness);
    bt_own_weight_clear(&weight);
    if (status == BT_ENOMEM)
        return bt_error_set(err, status, 0, 0, "%s", own.message);
    if (status != BT_OK) {
        s->use = BT_TREND_NO_SURFACE;
        memcpy(s->why, own.message, sizeof s->why - 1);
    }
    return BT_OK;
}

/* From the latest back, since its face and its rectangle are those of all. */
static enum bt_status evaluate_all(struct bt_trend_answer *a,
                                   const struct bt_trend_request *request,
                                   struct bt_error *err)
{
    const struct bt_trend_set *latest = NULL;
    enum bt_status status = BT_OK;

    for (size_t i = a->nset; i-- > 0 && status == BT_OK;) {
        struct bt_trend_set *s = &a->set[i];

        sort_out(s, request);
        if (s->use != BT_TREND_USED)
            continue;
        if (latest && s->set->face != latest->set->face) {
            s->use = BT_TREND_OTHER_FACE;
            continue;
        }
        status =
            evaluate(a->job, s, latest ? &latest->parts.form.rectangle : NULL, err);
        if (!latest && s->use == BT_TREND_USED)
            latest = s;
    }
    for (size_t i = 0; i < a->nset && status == BT_OK; i++)
        if (a->set[i].use == BT_TREND_USED)
            a->used[a->nused++] = i;
    return status;
}

static void add_left_out(struct bt_buffer *text, const struct bt_trend_answer *a)
{
    const char *between = "";

    for (size_t i = 0; i < a->nset; i++) {
        if (a->set[i].use == BT_TREND_USED)
            continue;
        bt_buffer_text(text, between);
        bt_buffer_name(text, a->set[i].set->name);
        bt_buffer_format(text, " (%s)", bt_trend_left_out(&a->set[i]));
        between = ", ";
    }
}

/* Where a set is left out for want of its date: how to write it. */
static void add_date_hint(struct bt_buffer *text, const struct bt_trend_answer *a)
{
    for (size_t i = 0; i < a->nset; i++)
        if (a->set[i].use == BT_TREND_UNDATED) {
            bt_buffer_text(text, "; write date = 2026-03-02 (the day of the readings) "
                                 "under [readings ");
            bt_buffer_name(text, a->set[i].set->name);
            bt_buffer_text(text, "] in job.ini");
            return;
        }
}

static enum bt_status too_few(const struct bt_trend_answer *a, struct bt_error *err)
{
    struct bt_buffer text = {0};
    enum bt_status status = BT_ENOMEM;

    bt_buffer_text(&text, "a trend needs sets of readings of two days, on one face; ");
    if (a->nused)
        bt_buffer_format(&text, "all that can be compared are of %s",
                         a->set[a->used[0]].set->date);
    else
        bt_buffer_text(&text, a->nset ? "of this job none can be used"
                                      : "this job names none");
    if (a->nused < a->nset)
        bt_buffer_text(&text, a->nused ? "; left out: " : ": ");
    add_left_out(&text, a);
    add_date_hint(&text, a);
    if (!text.failed)
        status = bt_error_set(err, BT_EINPUT, 0, 0, "%s", text.text);
    bt_buffer_clear(&text);
    return status;
}

static enum bt_status choose_two(struct bt_trend_answer *a, struct bt_error *err)
{
    size_t i = a->nused;

    if (a->nused == 0)
        return too_few(a, err);
    a->latest = a->used[a->nused - 1];
    while (i > 0 && a->set[a->used[i - 1]].day == a->set[a->latest].day)
        i--;
    if (i == 0)
        return too_few(a, err);
    a->before = a->used[i - 1];
    return BT_OK;
}

/* ---- verdict and the day to look again ---- */

static enum bt_trend_verdict verdict_of(const struct bt_trend_answer *a)
{
    enum bt_trend_verdict worst = BT_TREND_CANNOT_TELL;
    size_t limited = 0, settled = 0;

    for (int i = 0; i < BT_TREND_FIGURES; i++) {
        const struct bt_trend_line *line = &a->line[i];

        if (line->verdict == BT_TREND_MOVED)
            return BT_TREND_MOVED;
        if (isnan(line->limit))
            continue;
        limited++;
        settled += line->verdict == BT_TREND_SETTLED;
    }
    return limited && settled == limited ? BT_TREND_SETTLED : worst;
}

/* What a figure's fit expects matters still. */
static bool still_matters(const struct bt_trend_line *line)
{
    const struct bt_measured left = bt_trend_left(&line->rest, line->rest.last);

    return !isnan(line->limit) && !(fabs(left.value) + 2 * left.u < line->matters);
}

static double own_of(const struct bt_trend_set *set, enum bt_figure figure)
{
    const struct bt_form_values *own = &set->parts.own;

    return figure == BT_FIGURE_CUP   ? own->cup
           : figure == BT_FIGURE_BOW ? own->bow
                                     : own->twist;
}

/* By the fits: how long to wait, 0 where none follows its readings; whether anything is
 * to come that the latest reading would see, and that matters. */
struct expected {
    double wait;
    bool seen, matters;
};

static struct expected expect(const struct bt_trend_answer *a)
{
    struct expected e = {0, false, false};

    for (int i = 0; i < BT_TREND_FIGURES; i++) {
        const struct bt_trend_line *line = &a->line[i];
        double own, wait;

        if (!line->follows)
            continue;
        own = own_of(&a->set[a->latest], line->figure);
        wait = bt_trend_wait(&line->rest, own);
        e.wait = isnan(wait) ? e.wait : fmax(e.wait, wait);
        e.seen =
            e.seen || fabs(bt_trend_left(&line->rest, line->rest.last).value) > own;
        e.matters = e.matters || still_matters(line);
    }
    return e;
}

static void look_again(struct bt_trend_answer *a, enum bt_trend_next why, double days)
{
    a->next = why;
    a->next_day = a->set[a->latest].day + (long)ceil(fmin(days, 1e6));
}

static void find_next(struct bt_trend_answer *a)
{
    const double apart = (double)(a->set[a->latest].day - a->set[a->before].day);
    const struct expected e = expect(a);
    const bool fitted = e.wait > 0;

    a->next = BT_TREND_NEXT_NONE;
    if (a->verdict == BT_TREND_SETTLED &&
        (fitted ? !e.matters : !a->tau_known || apart >= a->tau.middle))
        return;
    if (fitted && a->verdict != BT_TREND_MOVED && !e.seen)
        a->next = BT_TREND_NEXT_FINER;
    else if (fitted)
        look_again(a, BT_TREND_NEXT_REST, e.wait);
    else if (a->tau_known)
        look_again(a, BT_TREND_NEXT_CONSTANT,
                   (double)bt_drying_rest(a->job->panel.thickness));
    else
        look_again(a, BT_TREND_NEXT_AGAIN, apart);
}

/* ---- all of it ---- */

enum bt_status bt_trend_answer_find(const struct bt_job *job,
                                    const struct bt_trend_request *request,
                                    struct bt_trend_answer *out, struct bt_error *err)
{
    const struct bt_trend_request nothing = {.share = 0};
    enum bt_status status;

    memset(out, 0, sizeof *out);
    out->job = job;
    if (!request)
        request = &nothing;
    if (!(request->share >= 0) || !(request->share <= 1))
        return bt_error_set(
            err, BT_EINPUT, 0, 0,
            "the share of a limit must be over 0 %% and at most 100 %%");
    out->share = request->share > 0 ? request->share : BT_TREND_SHARE;
    out->tau_known =
        bt_drying_constant(job->panel.thickness, false, &out->tau, NULL) == BT_OK;
    status = list_sets(job, out);
    if (status == BT_OK)
        status = evaluate_all(out, request, err);
    if (status == BT_OK)
        status = choose_two(out, err);
    if (status == BT_OK)
        status = bt_trend_fits_find(out, err);
    if (status == BT_OK) {
        out->verdict = verdict_of(out);
        find_next(out);
    }
    if (status == BT_ENOMEM)
        bt_error_set(err, status, 0, 0, "%s", bt_status_text(status));
    return status;
}

void bt_trend_answer_clear(struct bt_trend_answer *answer)
{
    if (!answer)
        return;
    for (size_t i = 0; i < answer->nset; i++)
        bt_form_parts_clear(&answer->set[i].parts);
    bt_free(answer->set);
    bt_free(answer->used);
    memset(answer, 0, sizeof *answer);
}

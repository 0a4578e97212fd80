/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/decide_result.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "report/decide_causes.h"
#include "report/joint_wood.h"
#include "report/words.h"

/* ---- movement ---- */

static enum bt_status find_trend(struct bt_decide_answer *a)
{
    struct bt_error own = {.code = BT_OK};
    const enum bt_status status = bt_trend_answer_find(a->job, NULL, &a->trend, &own);

    if (status == BT_ENOMEM)
        return status;
    if (status == BT_OK && a->trend.set[a->trend.latest].set == a->set)
        a->trend_known = true;
    else if (status == BT_OK)
        memcpy(a->trend_missing, "this set is not the latest one",
               sizeof "this set is not the latest one");
    else
        memcpy(a->trend_missing, own.message, sizeof a->trend_missing);
    return BT_OK;
}

/* As trend says; else a drying time constant after the set. */
static void find_next_day(struct bt_decide_answer *a)
{
    const long rest = bt_drying_rest(a->job->panel.thickness);
    long day;

    if (a->trend_known) {
        a->next_known =
            a->trend.next != BT_TREND_NEXT_NONE && a->trend.next != BT_TREND_NEXT_FINER;
        a->next_day = a->trend.next_day;
    } else if (bt_day_of_date(a->set->date, &day) && rest) {
        a->next_known = true;
        a->next_day = day + rest;
    }
}

/* ---- the face ---- */

static enum bt_status take_face(struct bt_decide_answer *a)
{
    const struct bt_flatness *f = &a->result.flatness;
    const size_t n = f->used->npoint;
    size_t kept = 0;

    a->place = bt_alloc(n, sizeof *a->place);
    a->height = bt_alloc(n, sizeof *a->height);
    a->u_height = bt_alloc(n, sizeof *a->u_height);
    a->share = bt_alloc(n, sizeof *a->share);
    a->depth = bt_alloc(n, sizeof *a->depth);
    if (!a->place || !a->height || !a->u_height || !a->share || !a->depth)
        return BT_ENOMEM;
    for (size_t i = 0; i < n; i++) {
        if (isnan(f->z[i]) || isnan(f->u[i]))
            continue;
        a->place[kept] = f->used->point[i];
        a->height[kept] = f->z[i];
        a->u_height[kept++] = f->u[i];
    }
    a->nface = bt_words_face_known(f) ? kept : 0;
    return BT_OK;
}

static struct bt_removal_face face_of(const struct bt_decide_answer *a)
{
    return (struct bt_removal_face){.n = a->nface,
                                    .p = a->place,
                                    .z = a->height,
                                    .u = a->u_height,
                                    .share = a->share};
}

/* ---- the other face ---- */

static struct bt_removal_face under_face(const struct bt_decide_answer *a)
{
    return (struct bt_removal_face){
        .n = a->under.n, .p = a->under.p, .z = a->under.z, .u = a->under.u};
}

/* Places as the face that was read lay; u where it is not typed. */
static struct bt_thickness_reading *take_readings(const struct bt_decide_answer *a)
{
    const struct bt_job *job = a->job;
    struct bt_thickness_reading *out = bt_alloc(job->nthickness, sizeof *out);

    for (size_t i = 0; out && i < job->nthickness; i++) {
        const struct bt_thickness_place *t = &job->thickness[i];

        out[i] = (struct bt_thickness_reading){
            .at = {t->x,
                   a->set->face == BT_FACE_BOTTOM ? job->panel.width - t->y : t->y},
            .thickness = t->thickness,
            .u = isnan(t->u) ? BT_ASSUMED_U_THICKNESS : t->u};
    }
    return out;
}

/* The latest with readings on the other face. */
static const struct bt_set *find_other(const struct bt_decide_answer *a)
{
    const struct bt_set *found = NULL;

    for (size_t i = 0; i < a->job->nset; i++) {
        const struct bt_set *s = &a->job->set[i];

        if (s->face == a->set->face || (s->readings.nobs == 0 && !s->readings.scan))
            continue;
        if (!found || strcmp(s->date, found->date) >= 0)
            found = s;
    }
    return found;
}

static enum bt_status turn(struct bt_decide_answer *a, const struct bt_set *other,
                           const struct bt_removal_face *top,
                           const struct bt_thickness_reading reading[])
{
    struct bt_set_result r = {0};
    enum bt_status status = bt_set_evaluate(a->job, other, NULL, &r, NULL);

    if (status == BT_OK) {
        const struct bt_removal_face face = {.n = r.flatness.used->npoint,
                                             .p = r.flatness.used->point,
                                             .z = r.flatness.z,
                                             .u = r.flatness.u};

        status = bt_removal_turned(top, &face, a->job->panel.width, a->job->nthickness,
                                   reading, a->job->same_point, &a->under, NULL);
        if (status == BT_OK)
            a->other = other;
    }
    bt_set_result_clear(&r);
    return status;
}

/* Whether it makes a face that the top can be cut parallel to. */
static enum bt_status try_it(struct bt_decide_answer *a,
                             const struct bt_removal_face *top)
{
    const struct bt_removal_face under = under_face(a);
    struct bt_removal_pair pair;
    const enum bt_status status = bt_removal_parallel(top, &under, &pair, NULL);

    a->under_known = status == BT_OK;
    return status == BT_ENOMEM ? status : BT_OK;
}

static enum bt_status find_under(struct bt_decide_answer *a)
{
    const struct bt_removal_face top = face_of(a);
    const struct bt_set *other = find_other(a);
    struct bt_thickness_reading *reading;
    enum bt_status status = BT_EINPUT;

    if (a->nface == 0 || a->job->nthickness < 3)
        return BT_OK;
    reading = take_readings(a);
    if (!reading)
        return BT_ENOMEM;
    if (other)
        status = turn(a, other, &top, reading);
    if (status != BT_OK && status != BT_ENOMEM)
        status = bt_removal_underside(&top, a->job->nthickness, reading,
                                      a->job->same_point, &a->under, NULL);
    if (status == BT_OK)
        status = try_it(a, &top);
    bt_free(reading);
    return status == BT_ENOMEM ? status : BT_OK;
}

/* ---- choices ---- */

/* Joints with a kink that is seen to be one; where facets are not what it is, all. */
static size_t count_ripped(const struct bt_facets *f)
{
    size_t n = 0;

    for (size_t j = 0; j < f->njoint; j++)
        n += f->kink[j].degree.seen &&
             fabs(f->kink[j].degree.value) > 2 * f->kink[j].degree.u;
    return f->preferred == BT_FACETS_FACETED && n ? n : f->njoint;
}

static void take_figures(const struct bt_decide_answer *a,
                         struct bt_choices_request *request)
{
    for (int i = 0; i < BT_FIGURE_COUNT; i++) {
        const enum bt_figure f = (enum bt_figure)i;
        const struct bt_judgement *j = bt_set_judgement(&a->result, f);

        request->limit[i] = j ? j->limit : NAN;
        request->verdict[i] = j ? j->verdict : BT_NOT_SEEN;
        request->u[i] = bt_set_figure(&a->result, f)->u;
    }
}

/* Every wood that the panel's species may mean. */
static bool is_hardwood(const struct bt_job *job)
{
    enum { MOST = 64 };
    const struct bt_species *found[MOST];
    const char *text = job->panel.species ? job->panel.species : "";
    const size_t n = bt_species_find(text, strlen(text), MOST, found);

    for (size_t i = 0; i < n && i < MOST; i++)
        if (strncmp(found[i]->group, "hardwood", 8) != 0)
            return false;
    return n > 0 && n <= MOST;
}

/* Where a fit follows the readings. */
static struct bt_measured at_rest(const struct bt_decide_answer *a,
                                  enum bt_figure figure)
{
    for (int i = 0; a->trend_known && i < BT_TREND_FIGURES; i++)
        if (a->trend.line[i].figure == figure && a->trend.line[i].follows)
            return bt_trend_end(&a->trend.line[i].rest);
    return (struct bt_measured){NAN, NAN, false};
}

static enum bt_status find_choices(struct bt_decide_answer *a, struct bt_error *err)
{
    const struct bt_facets *facets = &a->result.extremes.facets;
    const struct bt_form *form = &a->result.flatness.form;
    const struct bt_panel *panel = &a->job->panel;
    const struct bt_removal_face under = under_face(a);
    struct bt_choices_request request = {
        .cup = form->cup,
        .bow = form->bow,
        .twist = form->twist,
        .rest_cup = at_rest(a, BT_FIGURE_CUP),
        .rest_bow = at_rest(a, BT_FIGURE_BOW),
        .rest_twist = at_rest(a, BT_FIGURE_TWIST),
        .face = face_of(a),
        .rectangle = form->rectangle,
        .under = a->under_known ? &under : NULL,
        .local_span = a->result.span[0],
        .band = a->result.extremes.band,
        .length = panel->length,
        .width = panel->width,
        .thickness = panel->thickness,
        .u_thickness = BT_ASSUMED_U_THICKNESS,
        .hardwood = is_hardwood(a->job),
        .wood = a->wood_known ? &a->wood : NULL,
        .njoint = facets->njoint ? facets->njoint : a->job->njoint,
        .joints = facets->preferred == BT_FACETS_FACETED  ? BT_JOINTS_AT_FAULT
                  : facets->preferred == BT_FACETS_SMOOTH ? BT_JOINTS_STRAIGHT
                                                          : BT_JOINTS_UNSURE,
        .moving_known = a->trend_known && a->trend.verdict != BT_TREND_CANNOT_TELL,
        .moving = a->trend.verdict,
        .plan = a->job->plan};

    a->nripped = facets->njoint ? count_ripped(facets) : a->job->njoint;
    request.nripped = a->nripped;
    take_figures(a, &request);
    return bt_choices_find(&request, &a->choices, err);
}

static enum bt_status find_wood(struct bt_decide_answer *a)
{
    const enum bt_status status = bt_joint_wood(a->job, a->job->nboard, &a->wood, NULL);

    a->wood_known = status == BT_OK;
    return status == BT_ENOMEM ? status : BT_OK;
}

/* ---- the map ---- */

/* The first of them that takes off wood and is not ruled out. */
static bool find_map_choice(struct bt_decide_answer *a)
{
    for (int i = 0; i < BT_CHOICES; i++) {
        const struct bt_choice *c = &a->choices.choice[i];
        const bool spots = c->kind == BT_CHOICE_HIGH_SPOTS && a->choices.spots_found;
        const bool pair =
            (c->kind == BT_CHOICE_FLATTEN || c->kind == BT_CHOICE_ELSEWHERE) &&
            a->choices.pair_found;

        if (c->state == BT_CHOICE_NOT || !(spots || pair))
            continue;
        a->map_of = c->kind;
        return true;
    }
    return false;
}

static enum bt_status find_map(struct bt_decide_answer *a, struct bt_error *err)
{
    const struct bt_removal_face face = face_of(a);
    /* a cell with less to take off than a shaving is left */
    const double least = a->choices.plan.shaving / 2;
    enum bt_status status;

    if (a->nface == 0 || !find_map_choice(a))
        return BT_OK;
    if (a->map_of == BT_CHOICE_HIGH_SPOTS)
        memcpy(a->depth, a->choices.spots.depth, a->nface * sizeof *a->depth);
    else
        bt_removal_depths(&face, &a->choices.pair.top.plane, a->depth);
    status = bt_chalk_make(a->nface, a->place, a->depth,
                           &a->result.flatness.form.rectangle, 0, 0, &a->chalk, err);
    if (status == BT_OK)
        status =
            bt_chalk_spots(&a->chalk, least, BT_DECIDE_SPOTS, a->spot, &a->nspot, err);
    if (a->nspot > BT_DECIDE_SPOTS)
        a->nspot = BT_DECIDE_SPOTS;
    a->map_known = status == BT_OK;
    return status;
}

/* ---- all of it ---- */

static enum bt_status find_what_to_do(struct bt_decide_answer *a, struct bt_error *err)
{
    enum bt_status status = take_face(a);

    if (status == BT_OK && a->nface)
        status = bt_removal_shares(a->nface, a->place,
                                   &a->result.flatness.form.rectangle, a->share, err);
    if (status == BT_OK)
        status = find_wood(a);
    if (status == BT_OK)
        status = find_under(a);
    if (status == BT_OK)
        status = find_choices(a, err);
    if (status == BT_OK)
        status = find_map(a, err);
    return status;
}

enum bt_status bt_decide_answer_find(const struct bt_job *job, const struct bt_set *set,
                                     struct bt_decide_answer *out, struct bt_error *err)
{
    enum bt_status status;

    memset(out, 0, sizeof *out);
    out->job = job;
    out->set = set;
    if (set->readings.nobs == 0 && !set->readings.scan)
        return bt_error_set(err, BT_EINPUT, 0, 0, "the set '%s' has no reading yet",
                            set->name);
    status = bt_set_evaluate(job, set, NULL, &out->result, err);
    if (status == BT_OK)
        status = find_trend(out);
    if (status == BT_OK) {
        find_next_day(out);
        status = bt_decide_causes_find(out, err);
    }
    if (status == BT_OK)
        status = find_what_to_do(out, err);
    if (status == BT_ENOMEM)
        bt_error_set(err, status, 0, 0, "%s", bt_status_text(status));
    return status;
}

void bt_decide_answer_clear(struct bt_decide_answer *answer)
{
    if (!answer)
        return;
    bt_set_result_clear(&answer->result);
    bt_trend_answer_clear(&answer->trend);
    bt_edge_plan_clear(&answer->plan);
    bt_edge_setup_clear(&answer->setup);
    bt_choices_clear(&answer->choices);
    bt_chalk_clear(&answer->chalk);
    bt_removal_under_clear(&answer->under);
    bt_free(answer->place);
    bt_free(answer->height);
    bt_free(answer->u_height);
    bt_free(answer->share);
    bt_free(answer->depth);
    memset(answer, 0, sizeof *answer);
}

enum bt_verdict bt_decide_answer_verdict(const struct bt_decide_answer *answer)
{
    const struct bt_choice *best = bt_choices_best(&answer->choices);

    if (best && best->kind == BT_CHOICE_LEAVE)
        return BT_WITHIN;
    return best && bt_set_verdict(&answer->result) == BT_OVER ? BT_OVER : BT_NOT_SEEN;
}

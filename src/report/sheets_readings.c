/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "report/measure_words.h"
#include "report/sheets_build.h"
#include "report/words.h"

static const char *const blanks[] = {
    "date",          "read by",        "face up (top, bottom)", "air, humidity %",
    "air, how warm", "clamps on, off", "battens under it, at"};

/* With an interval as it is typed in the job's units. */
static const char how_lines[] =
    "The edge lies still while one line is read. Write the gap under it at each box: 0 "
    "where it touches, two leaves as %s (the first went, the second did not).";

static const char *const how_to[BT_PLAN_KINDS] = {
    NULL, /* lines: how_lines */
    "One set-up of the dial for each frame; write the height at each box.",
    "Stand the bar with its feet half its length to both sides of the place; write how "
    "far the dial rises over the line of the feet, - where it falls.",
    "Level on two blocks at the two places; + where the second is the higher one.",
    "Sticks across the panel; write how much higher the far stick's front end stands, "
    "sighted over the near one; - where it is lower."};

static const char *unit_of(const struct bt_job *job, enum bt_plan_kind kind)
{
    return kind == BT_PLAN_LEVEL ? "mm/m"
                                 : bt_length_unit_name(job->system, BT_LENGTH_FEELER);
}

static void add_feelers(struct bt_buffer *out, const struct bt_job *job)
{
    char text[BT_PRINT_ROOM];

    if (job->nfeeler == 0)
        return;
    bt_buffer_text(out, " Your own leaves: ");
    for (size_t i = 0; i < job->nfeeler; i++) {
        bt_buffer_text(out, i ? ", " : "");
        bt_buffer_name(out, job->feeler[i].name);
        bt_buffer_format(
            out, " %s",
            bt_print_length(text, job->feeler[i].mm, 0, job->system, BT_LENGTH_FEELER));
    }
    bt_buffer_text(out, ".");
}

static const char *intro_of(struct sheets_build *build,
                            const struct bt_measure_answer *a, enum bt_plan_kind kind)
{
    struct bt_buffer out = {0};

    if (kind == BT_PLAN_LINE)
        bt_buffer_format(&out, how_lines,
                         a->job->system == BT_SYSTEM_IN ? "8..10" : "0.20..0.25");
    else
        bt_buffer_text(&out, how_to[kind]);
    bt_buffer_format(&out, " Readings in %s.", unit_of(a->job, kind));
    if (kind == BT_PLAN_LINE)
        add_feelers(&out, a->job);
    return kept_take(&build->kept, &out);
}

static const char *title_of(struct sheets_build *build,
                            const struct bt_measure_answer *a, enum bt_plan_kind kind)
{
    struct bt_buffer out = {0};

    bt_buffer_format(&out, "Readings on the panel: %s", bt_measure_tool_kind(kind));
    for (size_t i = 0; i < a->request.ninstrument; i++)
        if (a->instrument[i].kind == kind && a->tool[i].name) {
            bt_buffer_text(&out, " '");
            bt_buffer_name(&out, a->tool[i].name);
            bt_buffer_text(&out, "'");
        }
    return kept_take(&build->kept, &out);
}

/* Lines of a text before its last n. */
static size_t lines_before(const struct bt_buffer *text, size_t n)
{
    size_t lines = 0;

    for (size_t i = 0; i < text->length; i++)
        lines += text->text[i] == '\n';
    return lines > n ? lines - n : 0;
}

static size_t rows_of_kind(const struct bt_measure_answer *a, enum bt_plan_kind kind)
{
    size_t rows = 0;

    for (size_t k = 0; k < a->plan.nstep; k++)
        rows += a->plan.step[k].kind == kind ? a->plan.step[k].nreading : 0;
    return rows;
}

static void add_rule(struct bt_buffer *out, const struct bt_job *job, double mm)
{
    char text[BT_PRINT_ROOM];

    bt_buffer_text(out, bt_print_length_bare(text, mm, 0, job->system, BT_LENGTH_RULE));
}

/* `A`, or `x 375, y 0`. */
static const char *place_label(struct sheets_build *build,
                               const struct bt_measure_answer *a,
                               const struct bt_point *p)
{
    const char corner = bt_measure_corner(a, p);
    struct bt_buffer out = {0};

    if (corner)
        bt_buffer_format(&out, "%c  ", corner);
    bt_buffer_text(&out, "x ");
    add_rule(&out, build->job, p->x);
    bt_buffer_text(&out, ", y ");
    add_rule(&out, build->job, p->y);
    return kept_take(&build->kept, &out);
}

/* `x 0, y 0 to 375, 0`. */
static const char *way_label(struct sheets_build *build, const struct bt_point *p)
{
    struct bt_buffer out = {0};

    bt_buffer_text(&out, "x ");
    add_rule(&out, build->job, p[0].x);
    bt_buffer_text(&out, ", y ");
    add_rule(&out, build->job, p[0].y);
    bt_buffer_text(&out, " to ");
    add_rule(&out, build->job, p[1].x);
    bt_buffer_text(&out, ", ");
    add_rule(&out, build->job, p[1].y);
    return kept_take(&build->kept, &out);
}

/* `near x 0, far 1500`. */
static const char *sticks_label(struct sheets_build *build, const struct bt_point *p)
{
    struct bt_buffer out = {0};

    bt_buffer_text(&out, "near x ");
    add_rule(&out, build->job, p[0].x);
    bt_buffer_text(&out, ", far ");
    add_rule(&out, build->job, p[2].x);
    return kept_take(&build->kept, &out);
}

static const char *label_of(struct sheets_build *build,
                            const struct bt_measure_answer *a,
                            const struct bt_plan_step *step, size_t reading)
{
    const struct bt_point *p = &a->plan.place[step->first];

    switch (step->kind) {
    case BT_PLAN_BAR: /* the dial stands between the feet */
        return place_label(build, a, &p[reading + 1]);
    case BT_PLAN_LEVEL:
        return way_label(build, &p[reading]);
    case BT_PLAN_STICKS:
        return sticks_label(build, p);
    case BT_PLAN_LINE:
    case BT_PLAN_SETUP:
    case BT_PLAN_KINDS:
        break;
    }
    return place_label(build, a, &p[reading]);
}

static void add_step(struct sheets_build *build, const struct bt_measure_answer *a,
                     size_t k, size_t *line)
{
    const struct bt_plan_step *step = &a->plan.step[k];
    struct bt_buffer title = {0};

    bt_buffer_format(&title, "%zu  ", k + 1);
    bt_measure_step_name(a, k, &title);
    sheets_block(build, kept_take(&build->kept, &title), "");
    for (size_t i = 0; i < step->nreading; i++)
        sheets_box(build, label_of(build, a, step, i),
                   kept_say(&build->kept, "%zu", (*line)++));
}

static void add_kind(struct sheets_build *build, const struct sheets_plan *plan,
                     enum bt_plan_kind kind)
{
    const struct bt_measure_answer *a = &plan->answer;
    const size_t rows = rows_of_kind(a, kind);
    struct bt_buffer file = {0};
    size_t line;

    if (rows == 0)
        return;
    if (bt_measure_csv(a, kind, &file) != BT_OK)
        build->kept.failed = true;
    line = lines_before(&file, rows) + 1;
    bt_buffer_clear(&file);
    sheets_begin(build, &(struct bt_sheet){
                            .title = title_of(build, a, kind),
                            .intro = intro_of(build, a, kind),
                            .file = "The small number in a box is its line in the file "
                                    "that benchtrue measure JOB --csv FILE writes.",
                            .nblank = sizeof blanks / sizeof *blanks,
                            .blank = blanks,
                            .plan = &plan->figure});
    for (size_t k = 0; k < a->plan.nstep; k++)
        if (a->plan.step[k].kind == kind)
            add_step(build, a, k, &line);
}

static enum bt_status name_steps(struct sheets_build *build, struct sheets_plan *plan)
{
    const size_t n = plan->answer.plan.nstep;

    plan->name = bt_alloc(n, sizeof *plan->name);
    if (!plan->name)
        return BT_ENOMEM;
    for (size_t k = 0; k < n; k++) {
        struct bt_buffer name = {0};
        bt_measure_step_name(&plan->answer, k, &name);
        plan->name[k] = kept_take(&build->kept, &name);
    }
    return BT_OK;
}

/* Where nothing more is to be read, a sheet for reading everything again. */
static enum bt_status find_plan(const struct bt_job *job,
                                const struct bt_measure_request *request,
                                struct bt_measure_answer *answer, struct bt_error *err)
{
    struct bt_measure_request afresh = *request;
    enum bt_status status = bt_measure_answer_find(job, request, answer, err);

    if (status != BT_OK || answer->plan.nstep > 0)
        return status;
    bt_measure_answer_clear(answer);
    afresh.afresh = true;
    return bt_measure_answer_find(job, &afresh, answer, err);
}

enum bt_status sheets_readings(struct sheets_build *build,
                               const struct bt_measure_request *request,
                               struct sheets_plan *plan, struct bt_error *err)
{
    enum bt_status status = find_plan(build->job, request, &plan->answer, err);

    if (status != BT_OK)
        return status;
    if (plan->answer.plan.nstep == 0)
        return bt_error_set(
            err, BT_EINPUT, 0, 0,
            "the instruments of the job can read nothing that is wanted");
    if (name_steps(build, plan) != BT_OK)
        return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    plan->support[0].x = plan->answer.support[0];
    plan->support[1].x = plan->answer.support[1];
    plan->figure = (struct bt_plan_figure_input){
        .job = build->job,
        .request = &plan->answer.request,
        .plan = &plan->answer.plan,
        .name = plan->name,
        .support = plan->answer.supports_known ? plan->support : NULL};
    for (int kind = 0; kind < BT_PLAN_KINDS; kind++)
        add_kind(build, plan, (enum bt_plan_kind)kind);
    return BT_OK;
}

void sheets_plan_clear(struct sheets_plan *plan)
{
    bt_free(plan->name);
    bt_measure_answer_clear(&plan->answer);
    memset(plan, 0, sizeof *plan);
}

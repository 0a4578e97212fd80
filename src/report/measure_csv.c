/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "report/measure_words.h"

struct writing {
    const struct bt_measure_answer *a;
    struct bt_buffer *out;
    bool name_tools; /* a column says which */
    bool state_u;
};

/* A field of RFC 4180; control characters become `?`. */
static void add_field(struct bt_buffer *out, const char *text)
{
    if (!strpbrk(text, ",;\t\"#") && *text != ' ') {
        bt_buffer_name(out, text);
        return;
    }
    bt_buffer_text(out, "\"");
    for (; *text; text++) {
        const char one[2] = {*text, '\0'};
        bt_buffer_name(out, one);
        if (*text == '"')
            bt_buffer_text(out, "\"");
    }
    bt_buffer_text(out, "\"");
}

static const char *length_unit(const struct writing *w)
{
    return bt_length_unit_name(w->a->job->system, BT_LENGTH_RULE);
}

/* As the job's own gaps are typed, else as the form of a new job has them: a file in
 * thou beside one in inches is how 0.046 in comes to stand for 0.046 thou. */
static enum bt_unit gap_unit(const struct writing *w)
{
    const struct bt_job *job = w->a->job;

    if (job->gap_unit != BT_UNIT_NONE)
        return job->gap_unit;
    return job->system == BT_SYSTEM_IN ? BT_UNIT_IN : BT_UNIT_MM;
}

static void add_length(const struct writing *w, double mm)
{
    char text[BT_PRINT_ROOM];

    bt_buffer_text(
        w->out, bt_print_length_bare(text, mm, 0, w->a->job->system, BT_LENGTH_RULE));
}

/* `x_mm,` and the like, blanks between names. */
static void add_heads(const struct writing *w, const char *names)
{
    while (*names) {
        const size_t length = strcspn(names, " ");
        bt_buffer_add(w->out, names, length);
        bt_buffer_format(w->out, "_%s,", length_unit(w));
        names += length + (names[length] == ' ');
    }
}

/* In the unit of the gaps where that is of inches. */
static const char *u_unit(const struct writing *w)
{
    const enum bt_unit unit = gap_unit(w);

    return unit == BT_UNIT_IN || unit == BT_UNIT_THOU ? bt_unit_name(unit) : "um";
}

static void add_header(const struct writing *w, enum bt_plan_kind kind)
{
    switch (kind) {
    case BT_PLAN_LINE:
        bt_buffer_text(w->out, "line,");
        add_heads(w, "x y");
        bt_buffer_format(w->out, "gap_%s", bt_unit_name(gap_unit(w)));
        break;
    case BT_PLAN_SETUP:
        bt_buffer_text(w->out, "setup,");
        add_heads(w, "x y");
        bt_buffer_format(w->out, "height_%s", bt_unit_name(gap_unit(w)));
        break;
    case BT_PLAN_BAR:
        add_heads(w, "foot1_x foot1_y dial_x dial_y foot2_x foot2_y");
        bt_buffer_format(w->out, "rise_%s", bt_unit_name(gap_unit(w)));
        break;
    case BT_PLAN_LEVEL:
        add_heads(w, "x1 y1 x2 y2");
        bt_buffer_text(w->out, "slope_mm_per_m");
        break;
    case BT_PLAN_STICKS:
    case BT_PLAN_KINDS:
        add_heads(w, "x1 x2 y1 y2 stick");
        bt_buffer_format(w->out, "wind_%s", bt_unit_name(gap_unit(w)));
        break;
    }
    if (w->state_u)
        bt_buffer_format(w->out, ",u_%s",
                         kind == BT_PLAN_LEVEL ? "mm_per_m" : u_unit(w));
    bt_buffer_text(w->out, w->name_tools ? ",instrument,note\n" : ",note\n");
}

/* The number alone, to 0.01 of thousandths: of a millimetre, of an inch, or of the
 * slope; in inches with the digits that takes. */
static void add_u(const struct writing *w, enum bt_plan_kind kind, double u)
{
    const enum bt_unit unit = gap_unit(w);
    const bool slope = kind == BT_PLAN_LEVEL;
    const double thou = bt_unit_from_inside(u, BT_UNIT_THOU);
    char text[BT_PRINT_ROOM];

    if (!slope && unit == BT_UNIT_IN) {
        const long step = lrint(fmin(fmax(100 * thou, 1), 1e8));

        bt_buffer_format(w->out, ",%ld.%05ld", step / 100000, step % 100000);
        return;
    }
    bt_buffer_format(
        w->out, ",%s",
        bt_print_length_bare(text, !slope && unit == BT_UNIT_THOU ? thou : 1000 * u, 0,
                             BT_SYSTEM_MM, BT_LENGTH_FEELER));
}

/* What stands behind the cell left blank. */
static void add_tail(const struct writing *w, const struct bt_plan_step *step,
                     const char *note)
{
    const struct bt_plan_instrument *i = &w->a->instrument[step->instrument];
    const struct bt_measure_tool *tool = &w->a->tool[step->instrument];

    if (w->state_u && tool->u_assumed)
        add_u(w, step->kind, i->u);
    else if (w->state_u)
        bt_buffer_text(w->out, ",");
    if (w->name_tools) {
        bt_buffer_text(w->out, ",");
        if (tool->name)
            add_field(w->out, tool->name);
    }
    bt_buffer_format(w->out, ",%s\n", note);
}

static void add_point(const struct writing *w, const struct bt_point *p)
{
    add_length(w, p->x);
    bt_buffer_text(w->out, ",");
    add_length(w, p->y);
    bt_buffer_text(w->out, ",");
}

static void add_named_rows(const struct writing *w, size_t k)
{
    const struct bt_plan_step *step = &w->a->plan.step[k];

    for (size_t i = 0; i < step->n; i++) {
        const struct bt_point *p = &w->a->plan.place[step->first + i];
        const char corner = bt_measure_corner(w->a, p);
        char note[] = "corner ?";

        note[sizeof note - 2] = corner;
        bt_measure_step_name(w->a, k, w->out);
        bt_buffer_text(w->out, ",");
        add_point(w, p);
        add_tail(w, step, corner ? note : "");
    }
}

static void add_chain_rows(const struct writing *w, const struct bt_plan_step *step)
{
    const size_t reach = step->kind == BT_PLAN_BAR ? 2 : 1;
    const struct bt_point *p = &w->a->plan.place[step->first];

    for (size_t i = 0; i + reach < step->n; i++) {
        for (size_t k = i; k <= i + reach; k++)
            add_point(w, &p[k]);
        add_tail(w, step, "");
    }
}

static void add_sticks_row(const struct writing *w, const struct bt_plan_step *step)
{
    const struct bt_point *p = &w->a->plan.place[step->first];
    const double reach = w->a->instrument[step->instrument].reach;
    const double cell[] = {p[0].x, p[2].x, p[0].y, p[1].y,
                           reach > 0 ? reach : p[1].y - p[0].y};

    for (size_t k = 0; k < sizeof cell / sizeof *cell; k++) {
        add_length(w, cell[k]);
        bt_buffer_text(w->out, ",");
    }
    add_tail(w, step, "");
}

static void add_comment(const struct writing *w, enum bt_plan_kind kind)
{
    static const char *const what[BT_PLAN_KINDS] = {
        "# Lay the straightedge on each line in turn and write the gap under it at "
        "each place.\n"
        "# The edge lies still while one line is read.\n",
        "# Set the dial's reference up once for each set-up and write the height at "
        "each place.\n",
        "# Stand the bar with its feet at the two places and write how far the dial "
        "rises over\n# their line, - where it falls.\n",
        "# Lay the level on two blocks of one thickness at the two places; + where the "
        "second is\n# the higher one.\n",
        "# Lay the sticks across at x1 (near) and x2 (far), touching at y1 and y2: how "
        "much higher\n# the far stick's front end stands, sighted over the near one, "
        "over the length `stick`.\n"};

    bt_buffer_text(w->out, what[kind]);
    bt_buffer_text(w->out, "# Leave a place empty where it was not read.\n");
    if (w->state_u)
        bt_buffer_text(w->out,
                       "# u is the uncertainty that was planned with: correct it to "
                       "what you can read to,\n# or empty it where you write what went "
                       "and what did not, which tells by itself.\n");
}

enum bt_status bt_measure_csv(const struct bt_measure_answer *answer,
                              enum bt_plan_kind kind, struct bt_buffer *out)
{
    struct writing w = {.a = answer, .out = out};
    bool any = false;

    for (size_t k = 0; k < answer->plan.nstep; k++) {
        const struct bt_plan_step *step = &answer->plan.step[k];
        if (step->kind != kind)
            continue;
        any = true;
        w.name_tools = w.name_tools || answer->tool[step->instrument].name;
        w.state_u = w.state_u || answer->tool[step->instrument].u_assumed;
    }
    if (!any)
        return BT_OK;
    add_comment(&w, kind);
    add_header(&w, kind);
    for (size_t k = 0; k < answer->plan.nstep; k++) {
        const struct bt_plan_step *step = &answer->plan.step[k];
        if (step->kind != kind)
            continue;
        if (kind == BT_PLAN_LINE || kind == BT_PLAN_SETUP)
            add_named_rows(&w, k);
        else if (kind == BT_PLAN_STICKS)
            add_sticks_row(&w, step);
        else
            add_chain_rows(&w, step);
    }
    return bt_buffer_status(out);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "draw/clamps_figure.h"

#define LETTER CLAMPS_LETTER
#define LETTER_TITLE 6.0

static void write_line(struct page *page, double *y, enum page_weight weight,
                       const char *text)
{
    struct page_text how = {.size = LETTER, .weight = weight, .width = CLAMPS_FULL};
    struct box size;

    page_measure(page, &how, text, &size);
    *y = page_room(page, *y, size.y1);
    *y = page_write(page, &how, PAGE_MARGIN, *y, text) + 0.6;
}

/* Two significant digits are more than a hand on a screw can tell: `4.2 kN`,
 * `950 lbf`. */
static void add_force(struct draw_words *text, double newton, enum bt_system system)
{
    double value = system == BT_SYSTEM_IN ? newton / 4.4482216152605 : newton, ten;
    const char *unit = system == BT_SYSTEM_IN ? "lbf" : "N";

    if (!(value >= 0) || isinf(value)) {
        draw_add(text, "an unknown force");
        return;
    }
    ten = value >= 100 ? pow(10, floor(log10(value)) - 1) : 1;
    value = ten * round(value / ten);
    if (system == BT_SYSTEM_MM && value >= 1000 && value < 1e9) {
        long tenths = lround(value / 100);

        draw_add(text, "%ld", tenths / 10);
        if (tenths % 10 && tenths < 100)
            draw_add(text, ".%ld", tenths % 10);
        draw_add(text, " kN");
        return;
    }
    draw_add(text, "%.0f %s", value, unit);
}

static void add_length(struct draw_words *text, double mm, enum bt_system system)
{
    char length[BT_PRINT_ROOM];

    draw_add(text, "%s",
             bt_print_length(length, mm, system == BT_SYSTEM_MM ? 3 : 0.8, system,
                             BT_LENGTH_RULE));
}

static void add_bare(struct draw_words *text, double mm, enum bt_system system)
{
    char length[BT_PRINT_ROOM];

    draw_add(text, "%s",
             bt_print_length_bare(length, mm, system == BT_SYSTEM_MM ? 3 : 0.8, system,
                                  BT_LENGTH_RULE));
}

void clamps_draw_head(const struct clamps_figure *f, struct page *page, double *y)
{
    const struct bt_job *job = f->in->job;
    struct page_text how = {
        .size = LETTER_TITLE, .weight = PAGE_BOLD, .width = CLAMPS_FULL};
    struct draw_words what = {0};

    page->running = job->title && *job->title ? job->title : "Panel";
    *y = page_write(page, &how, PAGE_MARGIN, *y, page->running);
    draw_add(&what, "Glue-up, %s, ", job->date && *job->date ? job->date : "undated");
    draw_add_count(&what, f->nboard, "board", "boards");
    draw_add(&what, ", ");
    add_bare(&what, f->in->request->length, job->system);
    draw_add(&what, " x ");
    add_length(&what, f->width, job->system);
    draw_add(&what, ", ");
    draw_add_count(&what, f->nplace, "clamp", "clamps");
    how.size = 1.1 * LETTER;
    how.weight = PAGE_PLAIN;
    *y = page_write(page, &how, PAGE_MARGIN, *y + 0.6, what.text) + 0.6;
    *y = page_write(page, &how, PAGE_MARGIN, *y,
                    "From above, left end on the left, back edge on top. Grey bar: "
                    "clamp above the panel; dashed: below it.") +
         3;
}

static void write_shortfall(const struct clamps_figure *f, struct page *page, double *y)
{
    const struct bt_clamping *plan = f->in->plan;
    struct draw_words text = {0};

    if (!plan->shortfall) {
        write_line(page, y, PAGE_BOLD, "No clamp is missing.");
        return;
    }
    draw_add_count(&text, plan->shortfall,
                   "clamp is missing: ", "clamps are missing: ");
    draw_add(&text, "%zu needed, %zu by the 45 degree spread", plan->needed,
             plan->needed_spread);
    if (plan->needed_force)
        draw_add(&text, ", %zu by force", plan->needed_force);
    draw_add(&text, ".");
    write_line(page, y, PAGE_BOLD, text.text);
}

/* What each clamp has to give, where it can; else how many more are wanted. */
static void add_each(struct draw_words *text, const struct clamps_figure *f)
{
    const struct bt_clamping *plan = f->in->plan;

    if (plan->shortfall) {
        draw_add(text, ": %zu ", plan->shortfall);
        draw_add(text, plan->shortfall == 1 ? "clamp more" : "clamps more");
        return;
    }
    draw_add(text, ": ");
    add_force(text, plan->force_joint / (double)f->nplace, f->in->job->system);
    draw_add(text, " from each clamp");
}

static void write_force(const struct clamps_figure *f, struct page *page, double *y)
{
    const struct bt_clamping *plan = f->in->plan;
    enum bt_system system = f->in->job->system;
    struct draw_words text = {0};

    if (isfinite(plan->force_joint)) {
        draw_add(&text, "Every joint wants ");
        add_force(&text, plan->force_joint, system);
        draw_add(&text, ", the same force through all of them");
        if (f->nplace)
            add_each(&text, f);
        draw_add(&text, ". ");
    }
    if (isfinite(plan->force_reached)) {
        draw_add(&text, "The clamps shown can give ");
        add_force(&text, plan->force_reached, system);
        draw_add(&text, ".");
    } else {
        draw_add(&text, "What the clamps can give is not known.");
    }
    write_line(page, y, PAGE_PLAIN, text.text);
}

static void write_kind(const struct clamps_figure *f, struct page *page, double *y,
                       size_t kind)
{
    const struct bt_clamp_kind *k = &f->in->request->kind[kind];
    struct draw_words text = {0};
    size_t used = 0;

    for (size_t i = 0; i < f->nplace; i++)
        used += f->in->plan->place[i].kind == kind;
    draw_add(&text, "%s: %zu of %zu used, ", clamps_kind(f, kind), used, k->count);
    if (isfinite(k->force)) {
        draw_add(&text, "each can give ");
        add_force(&text, k->force, f->in->job->system);
        draw_add(&text, ".");
    } else {
        draw_add(&text, "what each can give is not known.");
    }
    write_line(page, y, PAGE_PLAIN, text.text);
}

static void write_stage(const struct clamps_figure *f, struct page *page, double *y,
                        size_t number)
{
    const struct bt_clamping *plan = f->in->plan;
    const struct bt_stage *stage = &plan->stage[number];
    struct draw_words text = {0};

    draw_add(&text, "Stage %zu: %s ", number + 1,
             stage->count == 1 ? "joint" : "joints");
    for (size_t k = 0; k < stage->count; k++) {
        draw_add(&text, "%s%zu", k ? ", " : "", plan->order[stage->first + k] + 1);
        /* A line of the figure has an end. */
        if (text.length > sizeof text.text - 160) {
            draw_add(&text, " and so on");
            break;
        }
    }
    if (stage->assemblies > 1)
        draw_add(&text, " (%zu pieces side by side)", stage->assemblies);
    if (isfinite(stage->minutes)) {
        double minutes = ceil(stage->minutes - 1e-9);

        draw_add(&text, "; %.0f %s from the first glue to the last clamp", minutes,
                 minutes == 1 ? "minute" : "minutes");
    }
    draw_add(&text, ".");
    write_line(page, y, PAGE_PLAIN, text.text);
}

static void write_stages(const struct clamps_figure *f, struct page *page, double *y)
{
    *y += 1.5;
    write_line(page, y, PAGE_BOLD, "Stages, joints in the order to glue them");
    for (size_t s = 0; s < f->in->plan->nstage; s++)
        write_stage(f, page, y, s);
    if (f->in->plan->open_time_short)
        write_line(page, y, PAGE_BOLD,
                   "One joint alone takes longer than the glue stays open.");
}

/* Columns of the list of clamps: number and kind, side, distance. */
static const double column[] = {0, 54, 68};
#define BLOCK (CLAMPS_FULL / 2)

static void write_place(const struct clamps_figure *f, struct page *page, double x,
                        double y, size_t k)
{
    const struct bt_clamp_place *place = clamps_place(f, k);
    struct page_text how = {.size = LETTER};
    char fitted[PAGE_TEXT_ROOM];
    struct draw_words name = {0}, at = {0};

    draw_add(&name, "%zu  %s", k + 1, clamps_kind(f, place->kind));
    page_fit(page, &how, name.text, column[1] - 1.5, fitted);
    page_write(page, &how, x, y, fitted);
    page_write(page, &how, x + column[1], y, place->above ? "above" : "below");
    add_length(&at, place->x, f->in->job->system);
    page_write(page, &how, x + column[2], y, at.text);
}

static void write_list_head(struct page *page, double y, double x)
{
    struct page_text how = {.size = LETTER, .weight = PAGE_BOLD};

    page_write(page, &how, x, y, "clamp");
    page_write(page, &how, x + column[1], y, "lies");
    page_write(page, &how, x + column[2], y, "from left end");
}

static void write_list(const struct clamps_figure *f, struct page *page, double *y)
{
    const double high = 1.4 * LETTER;
    size_t rows = (f->nplace + 1) / 2;

    if (!f->nplace)
        return;
    *y = page_room(page, *y + 1.5, 3 * high);
    for (size_t row = 0; row < rows; row++) {
        double at = page_room(page, *y, high);

        if (row == 0 || at < *y) {
            write_list_head(page, at, PAGE_MARGIN);
            if (f->nplace > rows)
                write_list_head(page, at, PAGE_MARGIN + BLOCK);
            at += high;
        }
        *y = at;
        write_place(f, page, PAGE_MARGIN, *y, row);
        if (row + rows < f->nplace)
            write_place(f, page, PAGE_MARGIN + BLOCK, *y, row + rows);
        *y += high;
    }
}

void clamps_draw_words(const struct clamps_figure *f, struct page *page, double *y)
{
    write_shortfall(f, page, y);
    write_force(f, page, y);
    for (size_t k = 0; k < f->in->request->nkind; k++)
        write_kind(f, page, y, k);
    if (f->in->request->caul > 0) {
        struct draw_words text = {0};

        draw_add(&text, "Hatched: cauls along the outer edges, ");
        add_length(&text, f->in->request->caul, f->in->job->system);
        draw_add(&text, " wide.");
        write_line(page, y, PAGE_PLAIN, text.text);
    }
    if (f->njoint)
        write_stages(f, page, y);
    write_list(f, page, y);
}

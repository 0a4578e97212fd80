/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is followed at the machine, in words. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "draw/edges_figure.h"
#include "draw/words.h"

#define LETTER_TITLE 6.0

/* Columns; their widths in sizes of a letter, the first has the rest. */
enum {
    COLUMN_BOARD,
    COLUMN_BACK,
    COLUMN_FRONT = COLUMN_BACK + 3,
    COLUMN_KINK = COLUMN_FRONT + 3,
    COLUMN_OPENING,
    COLUMNS
};
static const double wide[COLUMNS] = {0, 4, 6.5, 5.8, 4, 6.5, 5.8, 5.9, 9.6};

/* Left end of a column on the page; of COLUMNS the right end of the last. */
static double column(const struct edges_figure *f, int at)
{
    double x = PAGE_WIDTH - PAGE_MARGIN;

    for (int k = COLUMNS - 1; k >= at; k--)
        x -= k > COLUMN_BOARD ? wide[k] * f->letter : x - PAGE_MARGIN;
    return x;
}

static double row_height(const struct edges_figure *f)
{
    return 1.4 * f->letter;
}

static void add_count(struct draw_words *text, const struct edges_figure *f)
{
    enum bt_system system = f->in->job->system;
    char width[BT_PRINT_ROOM];
    double sum = 0;

    for (size_t i = 0; i < f->n; i++)
        sum += f->shape[i].width;
    draw_add_count(text, f->n, "board", "boards");
    draw_add(text, ", together %s",
             bt_print_length(width, sum, 0, system, BT_LENGTH_RULE));
}

static void add_fence(struct draw_words *text, const struct edges_figure *f)
{
    const struct bt_edge_errors *errors = &f->in->errors;
    const struct bt_measured *cup = &f->in->section->cup;
    char e[BT_PRINT_ROOM], u[BT_PRINT_ROOM];

    draw_add(text, "Edges at the fence face: 90 deg %s %s",
             errors->e < 0 ? "\xE2\x88\x92" : "+",
             bt_print_angle(e, fabs(errors->e), errors->u_e));
    if (isfinite(errors->u_e) && errors->u_e > 0)
        draw_add(text, ", u %s", bt_print_angle(u, errors->u_e, errors->u_e));
    draw_add(text, ". Cup expected: ");
    if (!cup->seen || !isfinite(cup->value)) {
        draw_add(text, "not seen.");
        return;
    }
    bt_print_length(e, cup->value, cup->u, f->in->job->system, BT_LENGTH_FEELER);
    draw_add(text, "%s", e);
    if (strpbrk(e, "123456789"))
        draw_add(text, cup->value > 0 ? " crowned" : " hollow");
    if (isfinite(cup->u))
        draw_add(text, ", u %s %s", bt_print_u_bare(u, cup->u, f->in->job->system),
                 bt_length_unit_name(f->in->job->system, BT_LENGTH_FEELER));
    draw_add(text, ".");
}

void edges_draw_head(const struct edges_figure *f, struct page *page, double *y)
{
    const struct bt_job *job = f->in->job;
    struct page_text how = {
        .size = LETTER_TITLE, .weight = PAGE_BOLD, .width = EDGES_FULL};
    struct draw_words what = {0}, fence = {0};

    page->running = job->title && *job->title ? job->title : "Panel";
    *y = page_write(page, &how, PAGE_MARGIN, *y, page->running);
    how.size = fmax(f->letter, 3.1);
    how.weight = PAGE_PLAIN;
    draw_add(&what, "Edges, %s, pattern: %s%s, ",
             job->date && *job->date ? job->date : "undated",
             bt_pattern_name(f->in->pattern),
             f->in->pattern == BT_PATTERN_BEST && !f->in->plan->proven
                 ? " (as far as was searched)"
                 : "");
    add_count(&what, f);
    *y = page_write(page, &how, PAGE_MARGIN, *y + 0.6, what.text);
    add_fence(&fence, f);
    *y = page_write(page, &how, PAGE_MARGIN, *y + 0.6, fence.text) + 2.5;
}

static void cell(const struct edges_figure *f, struct page *page, int at, double y,
                 enum page_weight weight, const char *text)
{
    struct page_text how = {
        .size = f->letter, .weight = weight, .anchor = PAGE_MIDDLE_LEFT};
    char fitted[PAGE_TEXT_ROOM];

    page_fit(page, &how, text, column(f, at + 1) - column(f, at) - 1, fitted);
    page_write(page, &how, column(f, at) + 0.8, y, fitted);
}

static void rule(struct page *page, double y, double width)
{
    cairo_set_line_width(page->cr, width);
    cairo_move_to(page->cr, PAGE_MARGIN, y);
    cairo_line_to(page->cr, PAGE_WIDTH - PAGE_MARGIN, y);
    cairo_stroke(page->cr);
}

static void draw_table_head(const struct edges_figure *f, struct page *page, double *y)
{
    struct page_text how = {
        .size = f->letter, .weight = PAGE_BOLD, .anchor = PAGE_MIDDLE_LEFT};
    double high = row_height(f), first = *y + high / 2, second = first + high;

    page_write(page, &how, column(f, COLUMN_BACK) + 0.8, first, "back edge");
    page_write(page, &how, column(f, COLUMN_FRONT) + 0.8, first, "front edge");
    cell(f, page, COLUMN_BOARD, second, PAGE_BOLD, "board");
    for (int front = 0; front < 2; front++) {
        int at = front ? COLUMN_FRONT : COLUMN_BACK;

        cell(f, page, at, second, PAGE_PLAIN, "mark");
        cell(f, page, at + 1, second, PAGE_PLAIN, "at the fence");
        cell(f, page, at + 2, second, PAGE_PLAIN, "goes first");
    }
    if (f->n > 1) {
        page_write(page, &how, column(f, COLUMN_KINK) + 0.8, first,
                   "joint to the next board");
        cell(f, page, COLUMN_KINK, second, PAGE_PLAIN, "kink");
        cell(f, page, COLUMN_OPENING, second, PAGE_PLAIN, "opens, at face");
    }
    *y += 2 * high;
    rule(page, *y, 0.4);
}

static void write_edge(const struct edges_figure *f, struct page *page, size_t board,
                       bool front, double y)
{
    enum bt_run run = edges_run(f, board, front);
    int at = front ? COLUMN_FRONT : COLUMN_BACK;
    struct page_text how = {.size = f->letter, .weight = PAGE_BOLD};
    struct box size;

    cell(f, page, at, y, PAGE_BOLD, bt_run_name(run));
    page_measure(page, &how, bt_run_name(run), &size);
    if (f->warn[2 * board + front])
        edges_mark_warning(f, page,
                           column(f, at) + 0.8 + size.x1 + 0.5 + 0.5 * f->letter, y);
    cell(f, page, at + 1, y, PAGE_PLAIN, run == BT_RUN_IN ? "show face" : "other face");
    cell(f, page, at + 2, y, PAGE_PLAIN,
         edges_left_leads(front, run, f->in->feed) ? "left end" : "right end");
}

static void write_joint(const struct edges_figure *f, struct page *page, size_t joint,
                        double y)
{
    const struct bt_joint_kink *kink = &f->in->section->joint[joint];
    char text[BT_PRINT_ROOM];
    struct draw_words words = {0};

    bt_print_angle(text, kink->kink.value, kink->kink.u);
    if (kink->kink.value > 0 && strpbrk(text, "123456789"))
        draw_add(&words, "+");
    draw_add(&words, "%s", text);
    cell(f, page, COLUMN_KINK, y, PAGE_PLAIN, words.text);
    bt_print_length(text, kink->opening.value, kink->opening.u, f->in->job->system,
                    BT_LENGTH_FEELER);
    words = (struct draw_words){0};
    if (strpbrk(text, "123456789"))
        draw_add(&words, "%s, %s", text, kink->opens_at_show ? "show" : "other");
    else
        draw_add(&words, "closes");
    cell(f, page, COLUMN_OPENING, y, PAGE_PLAIN, words.text);
}

static void draw_table_row(const struct edges_figure *f, struct page *page,
                           size_t board, double y)
{
    struct draw_words name = {0};
    double middle = y + row_height(f) / 2;

    draw_add_board(&name, board, edges_name(f, board));
    cell(f, page, COLUMN_BOARD, middle, PAGE_BOLD, name.text);
    for (int front = 0; front < 2; front++)
        write_edge(f, page, board, front, middle);
    if (board + 1 < f->n)
        write_joint(f, page, board, middle);
    rule(page, y + row_height(f), 0.12);
}

/* `Turn over first: 2, 5.` */
static void write_turned(const struct edges_figure *f, struct page *page, double *y)
{
    struct page_text how = {
        .size = f->letter, .weight = PAGE_BOLD, .width = EDGES_FULL};
    struct draw_words text = {0};

    for (size_t i = 0; i < f->n; i++)
        if (f->in->plan->run[i].turned)
            draw_add(&text, "%s%zu",
                     text.length ? ", "
                                 : "Turn over about their length before anything "
                                   "else, so that the other face shows: board ",
                     i + 1);
    if (!text.length)
        return;
    draw_add(&text, ".");
    *y = page_room(page, *y, 3 * f->letter);
    *y = page_write(page, &how, PAGE_MARGIN, *y, text.text) + 0.8;
}

void edges_draw_table(const struct edges_figure *f, struct page *page, double *y)
{
    write_turned(f, page, y);
    *y = page_room(page, *y, 4 * row_height(f));
    draw_table_head(f, page, y);
    for (size_t i = 0; i < f->n; i++) {
        double at = page_room(page, *y, row_height(f));

        if (at < *y) {
            *y = at;
            draw_table_head(f, page, y);
        }
        draw_table_row(f, page, i, *y);
        *y += row_height(f);
    }
    *y += 1.5;
}

void edges_mark_warning(const struct edges_figure *f, struct page *page, double x,
                        double y)
{
    double half = 0.46 * f->letter;

    cairo_rectangle(page->cr, x - half, y - half, 2 * half, 2 * half);
    cairo_fill(page->cr);
    cairo_set_source_rgb(page->cr, 1, 1, 1);
    cairo_set_line_width(page->cr, 0.14 * f->letter);
    cairo_move_to(page->cr, x, y - 0.68 * half);
    cairo_line_to(page->cr, x, y + 0.14 * half);
    cairo_move_to(page->cr, x, y + 0.38 * half);
    cairo_line_to(page->cr, x, y + 0.68 * half);
    cairo_stroke(page->cr);
    cairo_set_source_rgb(page->cr, 0, 0, 0);
    page_occupy(page, &(struct box){x - half, y - half, x + half, y + half}, "!");
}

static void write_line(const struct edges_figure *f, struct page *page, double x,
                       double *y, const char *text)
{
    struct page_text how = {.size = f->letter, .width = PAGE_WIDTH - PAGE_MARGIN - x};
    struct box size;

    page_measure(page, &how, text, &size);
    *y = page_room(page, *y, size.y1);
    *y = page_write(page, &how, x, *y, text) + 0.5;
}

/* A line of the list, behind the boxed mark. */
static void write_warning(const struct edges_figure *f, struct page *page, double *y,
                          struct draw_words *text)
{
    double x = PAGE_MARGIN + 1.5 * f->letter;
    struct page_text how = {.size = f->letter, .width = PAGE_WIDTH - PAGE_MARGIN - x};
    struct box size;

    draw_add(text, ".");
    page_measure(page, &how, text->text, &size);
    *y = page_room(page, *y, size.y1);
    edges_mark_warning(f, page, PAGE_MARGIN + 0.5 * f->letter, *y + 0.6 * f->letter);
    write_line(f, page, x, y, text->text);
    *text = (struct draw_words){0};
}

/* `Against the grain, take a light cut: 3 front, 5 back.` */
static void write_warnings(const struct edges_figure *f, struct page *page, double *y,
                           unsigned kind, const char *what)
{
    struct draw_words text = {0};

    for (size_t i = 0; i < f->n; i++)
        for (size_t front = 0; front < 2; front++) {
            if (!(f->warn[2 * i + front] & kind))
                continue;
            if (!text.length)
                draw_add(&text, "%s: ", what);
            else
                draw_add(&text, ", ");
            draw_add(&text, "%zu %s", i + 1, front ? "front" : "back");
            if (text.length > sizeof text.text - 60)
                write_warning(f, page, y, &text);
        }
    if (text.length)
        write_warning(f, page, y, &text);
}

/* Names that the table cuts stand here whole. */
static void write_long_names(const struct edges_figure *f, struct page *page, double *y)
{
    struct page_text how = {.size = f->letter, .weight = PAGE_BOLD};
    double room = column(f, COLUMN_BACK) - PAGE_MARGIN - 1;

    for (size_t i = 0; i < f->n; i++) {
        struct draw_words name = {0};
        char fitted[PAGE_TEXT_ROOM];

        draw_add_board(&name, i, edges_name(f, i));
        if (!page_fit(page, &how, name.text, room, fitted))
            continue;
        name = (struct draw_words){0};
        draw_add(&name, "Board %zu: %s", i + 1, edges_name(f, i));
        write_line(f, page, PAGE_MARGIN, y, name.text);
    }
}

void edges_draw_foot(const struct edges_figure *f, struct page *page, double *y)
{
    struct draw_words text = {0};
    bool grain = false;

    for (size_t i = 0; i < f->n; i++)
        grain = grain || edges_grain(f, i) != BT_GRAIN_UNKNOWN;
    write_warnings(f, page, y, EDGES_WARN_FACE,
                   "The job asks for the other face at the fence");
    write_warnings(f, page, y, EDGES_WARN_GRAIN_FORBIDDEN,
                   "Against the grain, which the job does not allow");
    write_warnings(f, page, y, EDGES_WARN_GRAIN, "Against the grain, take a light cut");
    *y += 0.5;
    write_long_names(f, page, y);
    draw_add(&text,
             "Marks, written on the show face beside the edge: in, the show face is at "
             "the fence; out, the other face is. Thick bar: the face at the fence. "
             "Layout triangle: pencilled over all show faces before jointing. ");
    if (grain)
        draw_add(&text, "Arrow on a face: there the grain runs out to the back edge. ");
    draw_add(&text,
             "Goes first: fed %s, seen facing the fence. u: standard "
             "uncertainty. Guards and chip thickness as the machine's manual "
             "says.",
             f->in->feed == BT_FEED_RIGHT_TO_LEFT ? "from right to left"
                                                  : "from left to right");
    write_line(f, page, PAGE_MARGIN, y, text.text);
}

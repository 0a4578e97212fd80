/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/full_size_page.h"

#include <math.h>

#include "draw/words.h"

#define LETTER 3.0
#define TITLE 6.0

/* What the joined sheets can be checked by. */
static void add_lengths(const struct full_size *f, struct draw_words *text)
{
    static const int ends[][2] = {{0, 1}, {1, 2}, {3, 2}, {0, 3}, {0, 2}, {1, 3}};
    const struct bt_outline *o = &f->in->piece->outline;
    char length[BT_PRINT_ROOM];

    for (size_t i = 0; i < sizeof ends / sizeof *ends; i++) {
        const struct bt_point a = o->p[o->corner[ends[i][0]]];
        const struct bt_point b = o->p[o->corner[ends[i][1]]];

        draw_add(text, "%s%c to %c %s", i ? ", " : "", "ABCD"[ends[i][0]],
                 "ABCD"[ends[i][1]],
                 bt_print_length(length, hypot(b.x - a.x, b.y - a.y), 0.2,
                                 f->in->job->system, BT_LENGTH_RULE));
    }
}

static double write_words(const struct full_size *f, struct page *page)
{
    const char *title = f->in->job->title;
    const double wide = f->paper.width - 2 * FULL_SIZE_LEFT;
    struct page_text how = {.size = TITLE, .weight = PAGE_BOLD, .width = wide};
    struct draw_words text = {0};
    double y =
        page_write(page, &how, FULL_SIZE_LEFT, 11, title && *title ? title : "Outline");

    how = (struct page_text){.size = LETTER, .width = wide};
    draw_add(&text, "The outline of the piece at full size, from above, on ");
    draw_add_count(&text, f->rows * f->columns, "sheet", "sheets");
    draw_add(&text, " to be joined: ");
    draw_add_count(&text, f->rows, "row", "rows");
    draw_add(&text, " from the back, ");
    draw_add_count(&text, f->columns, "column", "columns");
    draw_add(&text,
             " from the left; below they are numbered row.column. Measure the rule on "
             "each. Cut along the dashed frame, lay the crosses of neighbours on each "
             "other, 10 mm over 10 mm, and tape. Where an edge is scribed the wall has "
             "the last word: hold the pattern into the opening first.");
    y = page_write(page, &how, FULL_SIZE_LEFT, y + 1, text.text) + 1.5;
    text = (struct draw_words){0};
    draw_add(&text, "When joined, between the corners: ");
    add_lengths(f, &text);
    draw_add(&text, ". If they are off, the sheets are.");
    return page_write(page, &how, FULL_SIZE_LEFT, y, text.text) + 4;
}

void full_size_overview(const struct full_size *f, struct page *page)
{
    const double along = f->wide - FULL_SIZE_OVERLAP;
    const double down = f->deep - FULL_SIZE_OVERLAP;
    const double over_x = (double)f->columns * along + FULL_SIZE_OVERLAP;
    const double over_y = (double)f->rows * down + FULL_SIZE_OVERLAP;
    const double y = write_words(f, page), high = f->paper.height - 30 - y;
    const double scale = fmin(f->wide / over_x, high / over_y);
    const struct page_text how = {.size = fmin(LETTER, scale * fmin(along, down) / 4),
                                  .anchor = PAGE_MIDDLE,
                                  .halo = true};

    cairo_save(page->cr);
    cairo_translate(page->cr, FULL_SIZE_LEFT, y);
    cairo_scale(page->cr, scale, scale);
    cairo_translate(page->cr, -FULL_SIZE_LEFT, -FULL_SIZE_TOP);
    full_size_outline(f, page->cr, 0, 0);
    cairo_restore(page->cr);
    page_wood(page);
    cairo_set_line_width(page->cr, 0.15);
    for (size_t k = 0; k < f->rows * f->columns; k++) {
        const double x0 = FULL_SIZE_LEFT + scale * along * (double)(k % f->columns);
        const double y0 = y + scale * down * (double)(k / f->columns);
        struct draw_words text = {0};

        cairo_rectangle(page->cr, x0, y0, scale * f->wide, scale * f->deep);
        cairo_stroke(page->cr);
        draw_add(&text, "%zu.%zu", k / f->columns + 1, k % f->columns + 1);
        page_write(page, &how, x0 + scale * f->wide / 2, y0 + scale * f->deep / 2,
                   text.text);
    }
    full_size_foot(f, page);
}

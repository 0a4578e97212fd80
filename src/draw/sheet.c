/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/sheet_page.h"

#include <math.h>

#include "draw/plan_panel.h"
#include "draw/words.h"

#define FULL (PAGE_WIDTH - 2 * PAGE_MARGIN)
#define TITLE 5.0
#define LETTER 3.0
#define SMALL 2.4
#define PANEL_HIGH 75.0
#define BLANK_HIGH 9.0

/* A box to pencil in, with its label above. */
enum { ACROSS = 6, KEPT_ROWS = 3, BLANKS_ACROSS = 3 };
#define PITCH (FULL / ACROSS)
#define BOX_WIDE 29.0
#define BOX_HIGH 11.0
#define LABEL_HIGH 4.2
#define ROW_HIGH (LABEL_HIGH + BOX_HIGH + 1.6)

static double draw_intro(const struct bt_sheet *sheet, struct page *page, double y)
{
    const struct page_text title = {.size = TITLE, .weight = PAGE_BOLD, .width = FULL};
    const struct page_text plain = {.size = LETTER, .width = FULL};

    y = page_write(page, &title, PAGE_MARGIN, y, sheet->title) + 1.5;
    if (*sheet->intro)
        y = page_write(page, &plain, PAGE_MARGIN, y, sheet->intro) + 1;
    return page_write(page, &plain, PAGE_MARGIN, y, sheet->file) + 2;
}

/* What is written down once: a word and a line to write on. */
static double draw_blanks(const struct bt_sheet *sheet, struct page *page, double y)
{
    const struct page_text how = {.size = LETTER, .anchor = PAGE_TOP_LEFT};
    const double pitch = FULL / BLANKS_ACROSS;

    for (size_t i = 0; i < sheet->nblank; i++) {
        const double x = PAGE_MARGIN + pitch * (double)(i % BLANKS_ACROSS);
        const double top = y + BLANK_HIGH * (double)(i / BLANKS_ACROSS);
        struct box size;

        page_measure(page, &how, sheet->blank[i], &size);
        page_write(page, &how, x, top + BLANK_HIGH - 2 - size.y1, sheet->blank[i]);
        cairo_set_line_width(page->cr, 0.25);
        cairo_move_to(page->cr, x + size.x1 + 2, top + BLANK_HIGH - 2);
        cairo_line_to(page->cr, x + pitch - 4, top + BLANK_HIGH - 2);
        cairo_stroke(page->cr);
    }
    return y + BLANK_HIGH * ceil((double)sheet->nblank / BLANKS_ACROSS);
}

static void draw_box(const struct bt_sheet_box *box, struct page *page, double x,
                     double y)
{
    const struct page_text label = {.size = SMALL};
    const struct page_text row = {.size = SMALL, .anchor = PAGE_TOP_RIGHT};
    char text[PAGE_TEXT_ROOM];

    page_fit(page, &label, box->label, BOX_WIDE + 2, text);
    page_write(page, &label, x, y, text);
    cairo_set_line_width(page->cr, 0.3);
    cairo_rectangle(page->cr, x, y + LABEL_HIGH, BOX_WIDE, BOX_HIGH);
    cairo_stroke(page->cr);
    if (*box->row) {
        page_fit(page, &row, box->row, BOX_WIDE - 2, text);
        page_write(page, &row, x + BOX_WIDE - 0.8, y + LABEL_HIGH + 0.4, text);
    }
}

static double draw_block(const struct bt_sheet_block *block, struct page *page,
                         double y)
{
    const struct page_text title = {.size = LETTER, .weight = PAGE_BOLD, .width = FULL};
    const struct page_text how = {.size = SMALL, .width = FULL};
    const size_t rows = (block->nbox + ACROSS - 1) / ACROSS;
    const double kept = ROW_HIGH * (double)(rows < KEPT_ROWS ? rows : KEPT_ROWS);

    y = page_room(page, y, 4 * LETTER + kept);
    y = page_write(page, &title, PAGE_MARGIN, y, block->title);
    if (*block->how)
        y = page_write(page, &how, PAGE_MARGIN, y + 0.3, block->how);
    y += 1;
    for (size_t i = 0; i < block->nbox; i++) {
        if (i > 0 && i % ACROSS == 0)
            y = page_room(page, y + ROW_HIGH, ROW_HIGH);
        draw_box(&block->box[i], page, PAGE_MARGIN + PITCH * (double)(i % ACROSS), y);
    }
    return y + (block->nbox ? ROW_HIGH : 0) + 2;
}

static double draw_sheet(const struct bt_sheet *sheet, struct page *page, double y)
{
    y = draw_intro(sheet, page, y);
    if (sheet->nblank)
        y = draw_blanks(sheet, page, y) + 2;
    if (sheet->plan)
        y = plan_panel_draw(sheet->plan, page, y, PANEL_HIGH);
    for (size_t i = 0; i < sheet->nblock; i++)
        y = draw_block(&sheet->block[i], page, y);
    return y;
}

double sheets_draw(const void *sheets, struct page *page)
{
    const struct sheets *s = sheets;
    const struct page_text how = {.size = 3.3, .weight = PAGE_BOLD, .width = FULL};
    double y = PAGE_MARGIN;

    page->running = s->title;
    y = page_write(page, &how, PAGE_MARGIN, y, s->title) + 2;
    for (size_t i = 0; i < s->n; i++) {
        if (i > 0)
            y = page_break(page);
        y = draw_sheet(&s->sheet[i], page, y);
    }
    return y;
}

enum bt_status bt_sheets_draw(const char *title, const char *date, size_t n,
                              const struct bt_sheet sheet[], enum bt_paper paper,
                              struct bt_figure_bytes *out, struct bt_error *err)
{
    const struct sheets sheets = {title, n, sheet};

    if (n == 0)
        return bt_error_set(err, BT_EINPUT, 0, 0, "there is no sheet to draw");
    for (size_t i = 0; i < n; i++)
        if (sheet[i].plan && plan_panel_check(sheet[i].plan, err) != BT_OK) {
            if (err)
                err->row = i;
            return BT_EINPUT;
        }
    return page_print(sheets_draw, &sheets, paper, title, date, out, err);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/draw/document.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include <cairo-pdf.h>

#include "draw/document_table.h"
#include "draw/page.h"

#define FULL (PAGE_WIDTH - 2 * PAGE_MARGIN)
#define TITLE 7.0
#define LETTER 3.4
#define SMALL 2.6

/* What the drawing carries along; `failed` is the first figure's that was not drawn. */
struct printing {
    const struct bt_document *document;
    struct page *page;
    double y;
    int nfigure; /* spoken of so far */
    enum bt_status status;
    struct bt_error *err;
};

static double size_of(int level)
{
    return level <= 2 ? 5.0 : 4.0;
}

static void add_outline(struct page *page, int level, const char *text)
{
    char where[80], cleaned[PAGE_TEXT_ROOM];

    page_clean(cleaned, text);
    snprintf(where, sizeof where, "page=%d", page->sheet + 1);
    /* Flat, but for the title: levels would need the parent's number kept. */
    if (level <= 2)
        cairo_pdf_surface_add_outline(page->surface, CAIRO_PDF_OUTLINE_ROOT, cleaned,
                                      where, CAIRO_PDF_OUTLINE_FLAG_OPEN);
}

static void write_tagged(struct printing *p, const char *tag,
                         const struct page_text *how, const char *text)
{
    cairo_tag_begin(p->page->cr, tag, NULL);
    p->y = page_write(p->page, how, PAGE_MARGIN, p->y, text);
    cairo_tag_end(p->page->cr, tag);
}

static void write_heading(struct printing *p, int level, const char *text)
{
    const struct page_text how = {
        .size = size_of(level), .weight = PAGE_BOLD, .width = FULL};

    /* not alone at the foot of a page */
    p->y = page_room(p->page, p->y + size_of(level), 5 * size_of(level));
    add_outline(p->page, level, text);
    write_tagged(p, level <= 2 ? "H2" : "H3", &how, text);
    p->y += 1.5;
}

static void write_text(struct printing *p, const char *text, enum page_weight weight)
{
    const struct page_text how = {.size = LETTER, .weight = weight, .width = FULL};
    struct box size;

    page_measure(p->page, &how, text, &size);
    p->y = page_room(p->page, p->y, size.y1);
    write_tagged(p, "P", &how, text);
    p->y += 2;
}

static void write_list(struct printing *p, const struct bt_part *part)
{
    const struct page_text how = {.size = LETTER, .width = FULL - 5};
    const struct page_text dot = {.size = LETTER};

    if (part->text)
        write_text(p, part->text, PAGE_PLAIN);
    for (size_t i = 0; i < part->ncell; i++) {
        struct box size;

        page_measure(p->page, &how, part->cell[i], &size);
        p->y = page_room(p->page, p->y, size.y1);
        page_write(p->page, &dot, PAGE_MARGIN + 1, p->y, "\xE2\x80\x93");
        cairo_tag_begin(p->page->cr, "P", NULL);
        p->y = page_write(p->page, &how, PAGE_MARGIN + 5, p->y, part->cell[i]) + 0.8;
        cairo_tag_end(p->page->cr, "P");
    }
    p->y += 1.5;
}

/* Where it is spoken of; the figure itself is a plate behind the text. */
static void refer_to_figure(struct printing *p, const char *caption)
{
    const struct page_text how = {.size = LETTER, .width = FULL};
    char text[PAGE_TEXT_ROOM];
    struct box size;

    snprintf(text, sizeof text, "Figure %d: %s", ++p->nfigure, caption);
    page_measure(p->page, &how, text, &size);
    p->y = page_room(p->page, p->y, size.y1);
    write_tagged(p, "P", &how, text);
    p->y += 2;
}

static void draw_plate(struct printing *p, const struct bt_part *part, int number)
{
    const struct page_text how = {.size = SMALL, .anchor = PAGE_TOP_RIGHT};
    struct bt_figure_bytes onto = {.onto = p->page};
    char text[24];

    p->status = part->make(part->input, BT_FIGURE_PLATE, &onto, p->err);
    if (p->status != BT_OK)
        return;
    snprintf(text, sizeof text, "Figure %d", number);
    page_write(p->page, &how, PAGE_WIDTH - PAGE_MARGIN, PAGE_MARGIN - 5, text);
}

static void draw_plates(struct printing *p)
{
    int number = 0;

    for (size_t i = 0; i < p->document->npart && p->status == BT_OK; i++)
        if (p->document->part[i].kind == BT_PART_FIGURE)
            draw_plate(p, &p->document->part[i], ++number);
}

static void write_part(struct printing *p, const struct bt_part *part, bool last)
{
    switch (part->kind) {
    case BT_PART_HEADING:
        write_heading(p, part->level, part->text);
        break;
    case BT_PART_TEXT:
        write_text(p, part->text, PAGE_PLAIN);
        break;
    case BT_PART_VERDICT:
        write_text(p, part->text, PAGE_BOLD);
        break;
    case BT_PART_TABLE:
        p->y = document_table(part, p->page, p->y) + 3;
        break;
    case BT_PART_LIST:
        write_list(p, part);
        break;
    case BT_PART_FIGURE:
        refer_to_figure(p, part->text);
        break;
    case BT_PART_PAGE:
        if (!last)
            p->y = page_break(p->page);
        break;
    }
}

static double draw_all(const void *figure, struct page *page)
{
    struct printing *p = *(struct printing *const *)figure;
    const struct bt_document *d = p->document;
    const struct page_text title = {.size = TITLE, .weight = PAGE_BOLD, .width = FULL};
    const struct page_text small = {.size = SMALL, .width = FULL};

    p->page = page;
    p->y = PAGE_MARGIN;
    page->running = d->title;
    write_tagged(p, "H1", &title, d->title);
    if (*d->subtitle)
        write_text(p, d->subtitle, PAGE_PLAIN);
    for (size_t i = 0; i < d->npart; i++)
        write_part(p, &d->part[i], i + 1 == d->npart);
    if (*d->foot) {
        struct box size;

        page_measure(page, &small, d->foot, &size);
        p->y = page_room(page, p->y + 4, size.y1);
        write_tagged(p, "P", &small, d->foot);
    }
    draw_plates(p);
    return p->y;
}

enum bt_status bt_document_pdf(const struct bt_document *document, enum bt_paper paper,
                               struct bt_figure_bytes *out, struct bt_error *err)
{
    struct printing printing = {.document = document, .status = BT_OK, .err = err};
    struct printing *const p = &printing;
    struct bt_figure_bytes made = {0};
    enum bt_status status =
        page_print(draw_all, &p, paper, document->title, document->date, &made, err);

    if (status == BT_OK && printing.status != BT_OK) {
        bt_figure_bytes_clear(&made);
        return printing.status;
    }
    if (status == BT_OK)
        *out = made;
    return status;
}

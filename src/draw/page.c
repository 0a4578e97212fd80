/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/page.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <pango/pangocairo.h>

#include "benchtrue/base/alloc.h"
#include "draw/palette.h"
#include "draw/svg.h"

#define PIXELS_PER_MM 7.5

static cairo_status_t take_bytes(void *closure, const unsigned char *data,
                                 unsigned int length)
{
    struct page *page = closure;
    struct bt_figure_bytes *b = &page->bytes;
    unsigned char *grown = bt_grow(b->bytes, &page->room, b->length + length, 1);

    if (!grown) {
        page->failed = true;
        return CAIRO_STATUS_WRITE_ERROR;
    }
    b->bytes = grown;
    memcpy(b->bytes + b->length, data, length);
    b->length += length;
    return CAIRO_STATUS_SUCCESS;
}

static cairo_surface_t *make_surface(struct page *page, bool measure)
{
    double scale = page->format == BT_FIGURE_PNG ? PIXELS_PER_MM : PAGE_POINTS;
    double wide = page->width * scale, high = page->height * scale;

    if (measure)
        return cairo_image_surface_create(CAIRO_FORMAT_A8, 1, 1);
    switch (page->format) {
    case BT_FIGURE_SVG:
        return cairo_svg_surface_create_for_stream(take_bytes, page, wide, high);
    case BT_FIGURE_PDF:
        return cairo_pdf_surface_create_for_stream(take_bytes, page, wide, high);
    case BT_FIGURE_PNG:
    case BT_FIGURE_PLATE:
        break;
    }
    return cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)ceil(wide),
                                      (int)ceil(high));
}

/* The date stands in for the time of day, which would make every file another one. */
static void set_pdf_words(cairo_surface_t *pdf, const char *title, const char *date)
{
    char when[40] = "1970-01-01T00:00:00Z";

    if (strlen(date) == 10)
        memcpy(when, date, 10);
    cairo_pdf_surface_set_metadata(pdf, CAIRO_PDF_METADATA_CREATE_DATE, when);
    cairo_pdf_surface_set_metadata(pdf, CAIRO_PDF_METADATA_MOD_DATE, when);
    cairo_pdf_surface_set_metadata(pdf, CAIRO_PDF_METADATA_TITLE, title);
}

/* The same shapes and widths of letters in every format. */
static void set_letters(struct page *page)
{
    cairo_font_options_t *options = cairo_font_options_create();

    cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    page->fonts = pango_cairo_font_map_new();
    page->context = pango_font_map_create_context(page->fonts);
    pango_cairo_context_set_font_options(page->context, options);
    pango_cairo_context_set_resolution(page->context, 72);
    pango_context_set_round_glyph_positions(page->context, FALSE);
    pango_cairo_update_context(page->cr, page->context);
    page->layout = pango_layout_new(page->context);
    cairo_font_options_destroy(options);
}

enum bt_status page_status(const struct page *page, struct bt_error *err)
{
    cairo_status_t said = page->cr ? cairo_status(page->cr) : CAIRO_STATUS_NO_MEMORY;

    if (page->failed || said == CAIRO_STATUS_NO_MEMORY)
        return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    if (said == CAIRO_STATUS_SUCCESS && page->surface)
        said = cairo_surface_status(page->surface);
    if (said == CAIRO_STATUS_SUCCESS)
        return BT_OK;
    return bt_error_set(err, BT_EWRITE, 0, 0, "the figure cannot be drawn: %s",
                        cairo_status_to_string(said));
}

struct page_size page_size_of(enum bt_paper paper)
{
    return paper == BT_PAPER_LETTER ? (struct page_size){215.9, 279.4}
                                    : (struct page_size){210, 297};
}

enum bt_status page_open(struct page *page, enum bt_figure_format format,
                         const struct page_size *size, bool measure, const char *title,
                         const char *date, struct bt_error *err)
{
    double scale = format == BT_FIGURE_PNG ? PIXELS_PER_MM : PAGE_POINTS;

    memset(page, 0, sizeof *page);
    page->format = format;
    page->width = size->width;
    page->height = size->height;
    /* A figure that is taller in one piece is broken where A4 ends all the same. */
    page->bottom = fmin(size->height, page_size_of(BT_PAPER_A4).height) - PAGE_MARGIN;
    page->surface = make_surface(page, measure);
    page->cr = cairo_create(page->surface);
    if (format == BT_FIGURE_PDF && !measure)
        set_pdf_words(page->surface, title, date);
    cairo_scale(page->cr, scale, scale);
    cairo_translate(page->cr, (page->width - PAGE_WIDTH) / 2, 0);
    set_letters(page);
    cairo_set_source_rgb(page->cr, 1, 1, 1);
    cairo_paint(page->cr);
    cairo_set_source_rgb(page->cr, 0, 0, 0);
    cairo_set_line_join(page->cr, CAIRO_LINE_JOIN_ROUND);
    return page_status(page, err);
}

double page_break(struct page *page)
{
    struct page_text how = {.size = 3.3, .weight = PAGE_BOLD};
    double right = PAGE_WIDTH - PAGE_MARGIN, y = PAGE_MARGIN;
    char text[PAGE_TEXT_ROOM];

    cairo_show_page(page->cr);
    page->nwritten = page->nword = 0;
    page->sheet++;
    if (!page->running)
        return y;
    page_fit(page, &how, page->running, right - PAGE_MARGIN - 25, text);
    page_write(page, &how, PAGE_MARGIN, y, text);
    how.anchor = PAGE_TOP_RIGHT;
    snprintf(text, sizeof text, "page %d", page->sheet + 1);
    return page_write(page, &how, right, y, text) + 2;
}

double page_room(struct page *page, double y, double height)
{
    if (page->format != BT_FIGURE_PDF || y + height <= page->bottom)
        return y;
    return page_break(page);
}

void page_wood(struct page *page)
{
    double rgb[3];

    palette_colour(0.85, rgb);
    cairo_set_source_rgb(page->cr, rgb[0], rgb[1], rgb[2]);
    cairo_fill_preserve(page->cr);
    cairo_set_source_rgb(page->cr, 0, 0, 0);
    cairo_set_line_width(page->cr, 0.3);
    cairo_stroke(page->cr);
}

enum bt_status page_finish(struct page *page, const char *title,
                           struct bt_figure_bytes *out, struct bt_error *err)
{
    enum bt_status status = page_status(page, err);

    if (status != BT_OK)
        return status;
    if (page->format == BT_FIGURE_PNG)
        cairo_surface_write_to_png_stream(page->surface, take_bytes, page);
    cairo_surface_finish(page->surface);
    status = page_status(page, err);
    if (status != BT_OK)
        return status;
    if (page->format == BT_FIGURE_SVG)
        return svg_describe(&page->bytes, title, page->nwritten, page->written,
                            page->words, out, err);
    *out = page->bytes;
    page->bytes = (struct bt_figure_bytes){0};
    return BT_OK;
}

void page_close(struct page *page)
{
    if (page->layout)
        g_object_unref(page->layout);
    if (page->context)
        g_object_unref(page->context);
    if (page->fonts)
        g_object_unref(page->fonts);
    if (page->cr)
        cairo_destroy(page->cr);
    if (page->surface)
        cairo_surface_destroy(page->surface);
    bt_free(page->bytes.bytes);
    bt_free(page->written);
    bt_free(page->words);
    memset(page, 0, sizeof *page);
}

static enum bt_status draw_on(page_draw *draw, const void *figure,
                              enum bt_figure_format format,
                              const struct page_size *size, const char *title,
                              const char *date, struct bt_figure_bytes *out,
                              struct bt_error *err)
{
    struct page page;
    enum bt_status status = page_open(&page, format, size, false, title, date, err);

    if (status == BT_OK) {
        draw(figure, &page);
        status = page_finish(&page, title, out, err);
    }
    page_close(&page);
    return status;
}

/* A further page of a document, of its own height. */
static enum bt_status draw_onto(page_draw *draw, const void *figure,
                                const struct page_size *size, struct page *page,
                                struct bt_error *err)
{
    const char *running = page->running;

    page->running = NULL;
    cairo_show_page(page->cr);
    cairo_pdf_surface_set_size(page->surface, size->width * PAGE_POINTS,
                               size->height * PAGE_POINTS);
    page->nwritten = page->nword = 0;
    page->sheet++;
    draw(figure, page);
    page->running = running;
    return page_status(page, err);
}

enum bt_status page_print_size(page_draw *draw, const void *figure,
                               const struct page_size *size, const char *title,
                               const char *date, struct bt_figure_bytes *out,
                               struct bt_error *err)
{
    char cleaned[PAGE_TEXT_ROOM];

    page_clean(cleaned, title);
    return draw_on(draw, figure, BT_FIGURE_PDF, size, cleaned, date, out, err);
}

enum bt_status page_print(page_draw *draw, const void *figure, enum bt_paper paper,
                          const char *title, const char *date,
                          struct bt_figure_bytes *out, struct bt_error *err)
{
    const struct page_size size = page_size_of(paper);

    return page_print_size(draw, figure, &size, title, date, out, err);
}

enum bt_status page_make(page_draw *draw, const void *figure,
                         enum bt_figure_format format, const char *title,
                         const char *date, struct bt_figure_bytes *out,
                         struct bt_error *err)
{
    struct page_size size = page_size_of(BT_PAPER_A4);
    const double least = size.height;
    const bool plate = format == BT_FIGURE_PLATE;
    char cleaned[PAGE_TEXT_ROOM];
    struct page page;
    enum bt_status status;

    format = plate ? BT_FIGURE_PDF : format;
    page_clean(cleaned, title);
    status = page_open(&page, format, &size, true, cleaned, date, err);
    if (status == BT_OK) {
        size.height = draw(figure, &page);
        status = page_status(&page, err);
    }
    page_close(&page);
    if (status != BT_OK)
        return status;
    if (format == BT_FIGURE_PDF)
        size.height = fmax(size.height, least);
    if (plate)
        return draw_onto(draw, figure, &size, out->onto, err);
    return draw_on(draw, figure, format, &size, cleaned, date, out, err);
}

void bt_figure_bytes_clear(struct bt_figure_bytes *figure)
{
    if (!figure)
        return;
    bt_free(figure->bytes);
    *figure = (struct bt_figure_bytes){0};
}

static bool ends_in(const char *path, const char *end)
{
    size_t length = strlen(path), n = strlen(end);

    if (length < n)
        return false;
    for (size_t i = 0; i < n; i++) {
        char c = path[length - n + i];

        if (c >= 'A' && c <= 'Z')
            c = (char)(c - 'A' + 'a');
        if (c != end[i])
            return false;
    }
    return true;
}

enum bt_status bt_figure_format_of(const char *path, enum bt_figure_format *format,
                                   struct bt_error *err)
{
    static const char *const ends[] = {
        [BT_FIGURE_SVG] = ".svg", [BT_FIGURE_PDF] = ".pdf", [BT_FIGURE_PNG] = ".png"};

    for (int i = 0; i < 3; i++)
        if (ends_in(path, ends[i])) {
            *format = (enum bt_figure_format)i;
            return BT_OK;
        }
    return bt_error_set(err, BT_EINPUT, 0, 0,
                        "a figure's name ends in .svg, .pdf or .png");
}

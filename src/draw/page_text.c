/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include <pango/pangocairo.h>

#include "base/utf8.h"
#include "benchtrue/base/alloc.h"
#include "draw/page.h"

double page_reading_angle(double dx, double dy)
{
    static const double steepest = 1; /* rad, 57 deg */
    const double angle = atan2(dx < 0 ? -dy : dy, fabs(dx));

    return angle <= steepest ? angle : angle - acos(-1);
}

size_t page_clean(char out[PAGE_TEXT_ROOM], const char *text)
{
    size_t length = strlen(text), n = 0;

    for (size_t i = 0; i < length && n + 8 < PAGE_TEXT_ROOM;) {
        uint32_t code;
        size_t bytes = bt_utf8_next(text + i, length - i, &code);
        bool begins = i == 0 || text[i - 1] == ' ' || text[i - 1] == '(';

        if (code == '-' && begins && text[i + 1] >= '0' && text[i + 1] <= '9') {
            memcpy(out + n, "\xE2\x88\x92", 3);
            n += 3;
        } else if (code == BT_UTF8_BAD || code == 0x7F ||
                   (code < ' ' && code != '\n') || (code >= 0x80 && code < 0xA0) ||
                   (code >= 0x200E && code <= 0x200F) ||
                   (code >= 0x2028 && code <= 0x202E) ||
                   (code >= 0x2066 && code <= 0x2069)) {
            out[n++] = '?';
        } else {
            memcpy(out + n, text + i, bytes);
            n += bytes;
        }
        i += bytes;
    }
    out[n] = '\0';
    return n;
}

static void set_layout(struct page *page, const struct page_text *how, const char *text,
                       struct box *box)
{
    PangoFontDescription *font = pango_font_description_new();
    PangoRectangle size;

    pango_font_description_set_family_static(font, "sans");
    pango_font_description_set_absolute_size(font, how->size * PANGO_SCALE);
    pango_font_description_set_weight(
        font, how->weight == PAGE_BOLD ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_layout_set_font_description(page->layout, font);
    pango_font_description_free(font);
    pango_layout_set_width(page->layout,
                           how->width > 0 ? (int)(how->width * PANGO_SCALE) : -1);
    pango_layout_set_wrap(page->layout, PANGO_WRAP_WORD_CHAR);
    pango_layout_set_text(page->layout, text, -1);
    pango_layout_get_extents(page->layout, NULL, &size);
    *box = (struct box){0, 0, (double)size.width / PANGO_SCALE,
                        (double)size.height / PANGO_SCALE};
}

void page_measure(struct page *page, const struct page_text *how, const char *text,
                  struct box *box)
{
    char cleaned[PAGE_TEXT_ROOM];

    page_clean(cleaned, text);
    set_layout(page, how, cleaned, box);
}

bool page_fit(struct page *page, const struct page_text *how, const char *text,
              double width, char out[PAGE_TEXT_ROOM])
{
    struct page_text line = *how;
    struct box size;
    size_t n = page_clean(out, text);

    line.width = 0;
    for (size_t i = 0; i < n; i++)
        if (out[i] == '\n')
            out[i] = ' ';
    set_layout(page, &line, out, &size);
    if (size.x1 <= width)
        return false;
    while (n > 0 && size.x1 > width) {
        /* Back over one character of UTF-8, then the ellipsis, which page_clean left
         * room for. */
        while (n > 0 && ((unsigned char)out[--n] & 0xC0) == 0x80)
            ;
        memcpy(out + n, "\xE2\x80\xA6", 4);
        set_layout(page, &line, out, &size);
    }
    return true;
}

/* From the anchor to the upper left corner, as shares of width and height. */
static void anchor_shares(enum page_anchor anchor, double *along, double *down)
{
    *along = *down = 0;
    switch (anchor) {
    case PAGE_TOP_LEFT:
        break;
    case PAGE_TOP_MIDDLE:
        *along = 0.5;
        break;
    case PAGE_TOP_RIGHT:
        *along = 1;
        break;
    case PAGE_MIDDLE:
        *along = *down = 0.5;
        break;
    case PAGE_MIDDLE_LEFT:
        *down = 0.5;
        break;
    case PAGE_MIDDLE_RIGHT:
        *along = 1;
        *down = 0.5;
        break;
    }
}

struct box page_bounds(const struct page_text *how, double x, double y, double width,
                       double height)
{
    double along, down, c = cos(how->angle), s = sin(how->angle);
    struct box b = {HUGE_VAL, HUGE_VAL, -HUGE_VAL, -HUGE_VAL};

    anchor_shares(how->anchor, &along, &down);
    for (int k = 0; k < 4; k++) {
        double u = (k % 2 - along) * width, v = (k / 2 - down) * height;
        double px = x + c * u - s * v, py = y + s * u + c * v;

        b = (struct box){fmin(b.x0, px), fmin(b.y0, py), fmax(b.x1, px),
                         fmax(b.y1, py)};
    }
    return b;
}

bool page_occupied(const struct page *page, const struct box *box)
{
    for (size_t i = 0; i < page->nwritten; i++) {
        const struct box *b = &page->written[i].box;

        if (b->x0 < box->x1 && box->x0 < b->x1 && b->y0 < box->y1 && box->y0 < b->y1)
            return true;
    }
    return false;
}

void page_occupy(struct page *page, const struct box *box, const char *text)
{
    size_t length = strlen(text) + 1;
    struct written *written = bt_grow(page->written, &page->written_room,
                                      page->nwritten + 1, sizeof *written);
    char *words;

    if (written)
        page->written = written;
    words = bt_grow(page->words, &page->word_room, page->nword + length, 1);
    if (words)
        page->words = words;
    if (!written || !words) {
        page->failed = true;
        return;
    }
    memcpy(words + page->nword, text, length);
    written[page->nwritten++] = (struct written){*box, page->nword};
    page->nword += length;
}

double page_write(struct page *page, const struct page_text *how, double x, double y,
                  const char *text)
{
    char cleaned[PAGE_TEXT_ROOM];
    double along, down;
    struct box size, bounds;

    if (page_clean(cleaned, text) == 0)
        return y;
    set_layout(page, how, cleaned, &size);
    bounds = page_bounds(how, x, y, size.x1, size.y1);
    anchor_shares(how->anchor, &along, &down);
    cairo_save(page->cr);
    cairo_translate(page->cr, x, y);
    cairo_rotate(page->cr, how->angle);
    cairo_move_to(page->cr, -along * size.x1, -down * size.y1);
    if (how->halo) {
        pango_cairo_layout_path(page->cr, page->layout);
        cairo_set_source_rgba(page->cr, 1, 1, 1, 0.75);
        cairo_set_line_width(page->cr, how->size / 4);
        cairo_stroke(page->cr);
        cairo_set_source_rgb(page->cr, 0, 0, 0);
        cairo_move_to(page->cr, -along * size.x1, -down * size.y1);
    }
    pango_cairo_show_layout(page->cr, page->layout);
    cairo_restore(page->cr);
    cairo_new_path(page->cr);
    page_occupy(page, &bounds, cleaned);
    return bounds.y1;
}

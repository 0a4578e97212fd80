/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/scale_bar.h"

#include <math.h>

#define LETTER 4.3

static double round_down(double most)
{
    double ten = pow(10, floor(log10(most)));

    if (5 * ten <= most)
        return 5 * ten;
    return 2 * ten <= most ? 2 * ten : ten;
}

double scale_rule(double most, enum bt_system system)
{
    static const double inches[] = {1, 2, 3, 6, 12, 24, 36, 48, 96};
    double best = 0;

    for (size_t i = 0; i < sizeof inches / sizeof *inches; i++)
        if (system == BT_SYSTEM_IN && inches[i] * 25.4 <= most)
            best = inches[i] * 25.4;
    return best > 0 ? best : round_down(most);
}

double scale_feeler(double most, enum bt_system system)
{
    double unit = system == BT_SYSTEM_IN ? 0.0254 : 1;

    return round_down(most / unit) * unit;
}

void scale_bar(struct page *page, double x, double y, double scale,
               enum bt_system system)
{
    double length = scale_rule(50 / scale, system), end = x + length * scale;
    struct page_text how = {.size = LETTER, .anchor = PAGE_MIDDLE_LEFT};
    char text[BT_PRINT_ROOM];

    cairo_set_line_width(page->cr, 0.5);
    cairo_move_to(page->cr, x, y - 1.2);
    cairo_line_to(page->cr, x, y + 1.2);
    cairo_move_to(page->cr, x, y);
    cairo_line_to(page->cr, end, y);
    cairo_move_to(page->cr, end, y - 1.2);
    cairo_line_to(page->cr, end, y + 1.2);
    cairo_stroke(page->cr);
    page_write(page, &how, end + 2, y,
               bt_print_length(text, length, 0, system, BT_LENGTH_RULE));
}

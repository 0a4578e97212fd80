/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <cairo.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "draw/map_figure.h"
#include "draw/panel.h"
#include "draw/page.h"

static struct panel panel;

/* Hills of 0.9 at (600, 200) and 0.6 at (200, 200) over a floor of -0.3. */
static double two_hills(double x, double y)
{
    double a = (x - 600) * (x - 600) + (y - 200) * (y - 200);
    double b = (x - 200) * (x - 200) + (y - 200) * (y - 200);

    return 1.2 * exp(-a / 12000) + 0.9 * exp(-b / 12000) - 0.3;
}

static double hollow(double x, double y)
{
    (void)y;
    return (x - 400) * (x - 400) / 160000 - 0.4;
}

typedef enum bt_status make(const struct bt_figure_input *, enum bt_figure_format,
                            struct bt_figure_bytes *, struct bt_error *);

/* The SVG as text; *figure is to be cleared. */
static const char *svg(make *figure, struct bt_figure_bytes *b)
{
    struct bt_error err = {0};
    unsigned char *grown;

    cr_assert_eq(figure(&panel.input, BT_FIGURE_SVG, b, &err), BT_OK, "%s",
                 err.message);
    grown = bt_mem_resize(b->bytes, b->length + 1);
    cr_assert_not_null(grown);
    b->bytes = grown;
    grown[b->length] = '\0';
    return (const char *)grown;
}

static void expect_words(const char *text, const char *const words[], size_t n)
{
    for (size_t i = 0; i < n; i++)
        cr_expect_not_null(strstr(text, words[i]), "'%s' is missing", words[i]);
}

/* Tags of the subset that cairo writes: each one closed in its turn. */
static void expect_well_formed(const char *text)
{
    int depth = 0;

    for (const char *p = strchr(text, '<'); p; p = strchr(p, '<')) {
        const char *end = strchr(p, '>');

        cr_assert_not_null(end, "a tag without end");
        if (p[1] == '/')
            depth--;
        else if (p[1] != '?' && end[-1] != '/')
            depth++;
        cr_assert_geq(depth, 0, "closed before it was open");
        p = end;
    }
    cr_expect_eq(depth, 0);
    for (const char *p = strchr(text, '&'); p; p = strchr(p + 1, '&'))
        cr_expect(strncmp(p, "&amp;", 5) == 0 || strncmp(p, "&lt;", 4) == 0 ||
                  strncmp(p, "&gt;", 4) == 0);
}

Test(figure, map_says_what_it_shows, .fini = bt_figure_teardown)
{
    static const char *const words[] = {
        "<title>Cherry shelf</title>",
        "after glue-up, 2026-03-02, top face, 800 x 400 mm",
        "u 0.02 mm",
        "\nA\n",
        "\nB\n",
        "\nC\n",
        "\nD\n",
        "back edge",
        "front edge",
        "grain",
        "200 mm",
        "height over the mean plane, mm",
        "\n+0.2\n",
        "\n0\n",
        "High spots, in the order to plane them",
        "+0.90 mm at x 600, y 200 mm",
        "+0.60 mm at x 200, y 200 mm",
        "153 heights over a reference",
        "2 ",
        "glue joint",
        "zone contacts: upper, lower plane",
        "Between the places of the grid: bilinear.",
    };
    struct bt_zone zone = {.ncontact = 2, .contact = {{76, 1}, {3, -1}}};
    struct bt_figure_bytes b;
    const char *text;

    panel_grid(&panel, 17, 9, two_hills);
    panel.joint[0] = 130;
    panel.joint[1] = 270;
    panel.job.joint = panel.joint;
    panel.job.njoint = 2;
    panel.input.zone = &zone;
    text = svg(bt_figure_map, &b);
    expect_words(text, words, sizeof words / sizeof *words);
    expect_well_formed(text);
    cr_expect_null(strstr(text, "nan"));
    cr_expect_null(strstr(text, "inf"));
    bt_figure_bytes_clear(&b);
}

Test(figure, map_speaks_in_inches_where_the_job_does, .fini = bt_figure_teardown)
{
    static const char *const words[] = {"height over the mean plane, thou", "\n6 in\n",
                                        "+35.4 thou at x 23 5/8, y 7 7/8 in"};
    struct bt_figure_bytes b;

    panel_grid(&panel, 17, 9, two_hills);
    panel.job.system = BT_SYSTEM_IN;
    for (size_t i = 0; i < 153; i++)
        panel.u[i] = 0.004;
    expect_words(svg(bt_figure_map, &b), words, 3);
    bt_figure_bytes_clear(&b);
}

Test(figure, map_names_how_scattered_places_are_joined, .fini = bt_figure_teardown)
{
    struct bt_figure_bytes b;

    panel_scan(&panel, 3000, two_hills);
    cr_expect_not_null(strstr(svg(bt_figure_map, &b), "flat triangles (Delaunay)"));
    cr_expect_not_null(strstr((char *)b.bytes, "3000 places read, too many to mark"));
    bt_figure_bytes_clear(&b);
    panel_scan(&panel, PANEL_POINTS, two_hills);
    cr_expect_not_null(
        strstr(svg(bt_figure_map, &b), "Heights averaged over squares of"));
    bt_figure_bytes_clear(&b);
}

Test(figure, map_without_a_height_shows_where_was_read, .fini = bt_figure_teardown)
{
    static const char *const words[] = {"No height is seen.",
                                        "read, but its height is not seen",
                                        "Nothing is drawn between places"};
    struct bt_figure_bytes b;

    panel_grid(&panel, 5, 3, hollow);
    for (size_t i = 0; i < 15; i++)
        panel.z[i] = panel.u[i] = NAN;
    expect_words(svg(bt_figure_map, &b), words, 3);
    cr_expect_null(strstr((char *)b.bytes, "nan"));
    bt_figure_bytes_clear(&b);
    panel_scan(&panel, PANEL_POINTS, hollow);
    for (size_t i = 0; i < PANEL_POINTS; i++)
        panel.z[i] = NAN;
    expect_words(svg(bt_figure_map, &b), words, 1);
    bt_figure_bytes_clear(&b);
}

/* Readings that hang loose are left out of the adjustment, and their places are not
 * those of the heights: drawn from the set's own list every place would be another. */
Test(figure, map_draws_what_was_evaluated_and_counts_what_was_left_out,
     .fini = bt_figure_teardown)
{
    static const char *const words[] = {
        "5 readings hang loose from the rest, not drawn."};
    struct bt_readings fewer;
    struct bt_figure_bytes b, again;

    panel_grid(&panel, 5, 3, hollow);
    fewer = panel.set.readings;
    fewer.npoint = fewer.nobs = 10;
    panel.flatness.used = &fewer;
    panel.flatness.nloose = 5;
    expect_words(svg(bt_figure_map, &b), words, 1);
    for (size_t i = 10; i < 15; i++)
        panel.z[i] = 99;
    svg(bt_figure_map, &again);
    cr_expect(b.length == again.length && memcmp(b.bytes, again.bytes, b.length) == 0);
    bt_figure_bytes_clear(&again);
    bt_figure_bytes_clear(&b);
    panel.flatness.nloose = 1;
    cr_expect_not_null(strstr(svg(bt_figure_map, &b), "1 reading hangs loose"));
    bt_figure_bytes_clear(&b);
}

Test(figure, marks_every_kind_of_reading, .fini = bt_figure_teardown)
{
    static const char *const words[] = {
        "3 gaps under a straightedge", "1 reading of a dial on a bar", "1 slope",
        "1 reading of winding sticks", "15 heights over a reference"};
    const size_t back[] = {0, 2, 4};
    const double gap[] = {0, 0.3, 0};
    struct bt_readings *r = &panel.set.readings;
    struct bt_figure_bytes b;

    panel_grid(&panel, 5, 3, hollow);
    panel_edge(&panel, 3, back, gap);
    panel.obs[r->nobs++] = (struct bt_obs){
        .kind = BT_READ_BAR, .group = BT_NO_GROUP, .npoint = 3, .point = {0, 1, 2}};
    panel.obs[r->nobs++] = (struct bt_obs){
        .kind = BT_READ_SLOPE, .group = BT_NO_GROUP, .npoint = 2, .point = {5, 8}};
    panel.obs[r->nobs++] = (struct bt_obs){.kind = BT_READ_WIND,
                                           .group = BT_NO_GROUP,
                                           .npoint = 4,
                                           .point = {0, 10, 4, 14}};
    panel.set.kinds[BT_READ_BAR] = panel.set.kinds[BT_READ_SLOPE] =
        panel.set.kinds[BT_READ_WIND] = 1;
    expect_words(svg(bt_figure_map, &b), words, 5);
    bt_figure_bytes_clear(&b);
}

Test(figure, lines_say_their_names_and_largest_gaps, .fini = bt_figure_teardown)
{
    static const char *const words[] = {
        "A to C\ngap 1.00 mm", "A to B\ngap 1.00 mm", "along, y 200 mm\ngap 1.00 mm",
        "across, x 400 mm\nno gap", "Profiles under the straightedge"};
    static const size_t line[4][3] = {
        {0, 22, 44}, {0, 4, 8}, {18, 22, 26}, {4, 22, 40}};
    const double gap[] = {0, 0.3, 0};
    struct bt_figure_bytes b;

    panel_grid(&panel, 9, 5, hollow);
    for (size_t k = 0; k < 4; k++)
        panel_edge(&panel, 3, line[k], gap);
    expect_words(svg(bt_figure_lines, &b), words, 5);
    expect_well_formed((char *)b.bytes);
    cr_expect_null(strstr((char *)b.bytes, "nan"));
    bt_figure_bytes_clear(&b);
}

Test(figure, lines_over_sixteen_are_counted, .fini = bt_figure_teardown)
{
    struct bt_figure_bytes b;

    panel_grid(&panel, 17, 9, hollow);
    cr_expect_not_null(
        strstr(svg(bt_figure_lines, &b), "Shown: the 16 of 26 lines with the largest"));
    bt_figure_bytes_clear(&b);
}

Test(figure, text_that_a_page_cannot_hold_is_made_safe, .fini = bt_figure_teardown)
{
    static char title[] = "a<b> & \x1b[1m \xff\xc3\x28 \xe2\x80\xae end";
    struct bt_figure_bytes b;

    panel_grid(&panel, 5, 3, hollow);
    panel.job.title = title;
    cr_expect_not_null(strstr(svg(bt_figure_map, &b),
                              "<title>a&lt;b&gt; &amp; ?[1m ?\?( ? end</title>"));
    expect_well_formed((char *)b.bytes);
    bt_figure_bytes_clear(&b);
}

static bool begins(const struct bt_figure_bytes *b, const char *with)
{
    return b->length > 1000 && memcmp(b->bytes, with, strlen(with)) == 0;
}

Test(figure, formats_are_what_they_say_and_the_same_twice, .fini = bt_figure_teardown)
{
    static const char *const head[] = {"<?xml version=\"1.0\"", "%PDF-1.",
                                       "\x89PNG\r\n"};
    make *const figures[] = {bt_figure_map, bt_figure_lines};

    panel_grid(&panel, 9, 5, two_hills);
    for (size_t k = 0; k < 2; k++)
        for (int f = BT_FIGURE_SVG; f <= BT_FIGURE_PNG; f++) {
            struct bt_figure_bytes one, two;

            cr_assert_eq(figures[k](&panel.input, (enum bt_figure_format)f, &one, NULL),
                         BT_OK);
            cr_assert_eq(figures[k](&panel.input, (enum bt_figure_format)f, &two, NULL),
                         BT_OK);
            cr_expect(begins(&one, head[f]), "format %d", f);
            cr_assert_eq(one.length, two.length, "figure %zu, format %d", k, f);
            cr_expect_arr_eq(one.bytes, two.bytes, one.length, "figure %zu, format %d",
                             k, f);
            bt_figure_bytes_clear(&one);
            bt_figure_bytes_clear(&two);
        }
}

static size_t find(const struct bt_figure_bytes *b, const char *what)
{
    for (size_t i = 0; i + strlen(what) <= b->length; i++)
        if (memcmp(b->bytes + i, what, strlen(what)) == 0)
            return i;
    return b->length;
}

Test(figure, pdf_has_the_date_of_the_set_and_no_other, .fini = bt_figure_teardown)
{
    struct bt_figure_bytes b;

    panel_grid(&panel, 9, 5, two_hills);
    cr_assert_eq(bt_figure_map(&panel.input, BT_FIGURE_PDF, &b, NULL), BT_OK);
    cr_expect_lt(find(&b, "/CreationDate (20260302"), b.length);
    bt_figure_bytes_clear(&b);
    panel.set.date[0] = '\0';
    cr_assert_eq(bt_figure_map(&panel.input, BT_FIGURE_PDF, &b, NULL), BT_OK);
    cr_expect_lt(find(&b, "/CreationDate (19700101"), b.length);
    bt_figure_bytes_clear(&b);
}

struct reader {
    const struct bt_figure_bytes *b;
    size_t at;
};

static cairo_status_t give(void *closure, unsigned char *data, unsigned int length)
{
    struct reader *r = closure;

    if (r->b->length - r->at < length)
        return CAIRO_STATUS_READ_ERROR;
    memcpy(data, r->b->bytes + r->at, length);
    r->at += length;
    return CAIRO_STATUS_SUCCESS;
}

/* Share of saturated colour, as only the bands have, in a picture. */
static double coloured(const struct bt_figure_bytes *b)
{
    struct reader r = {b, 0};
    cairo_surface_t *png = cairo_image_surface_create_from_png_stream(give, &r);
    const unsigned char *data = cairo_image_surface_get_data(png);
    int wide = cairo_image_surface_get_width(png),
        high = cairo_image_surface_get_height(png);
    int stride = cairo_image_surface_get_stride(png);
    size_t count = 0;

    cr_assert_eq(cairo_surface_status(png), CAIRO_STATUS_SUCCESS);
    cr_expect_eq(wide, 1575);
    for (int y = 0; y < high; y++)
        for (int x = 0; x < wide; x++) {
            const unsigned char *p = data + (size_t)y * (size_t)stride + 4 * (size_t)x;
            int most = p[0] > p[1] ? p[0] : p[1], least = p[0] < p[1] ? p[0] : p[1];

            most = p[2] > most ? p[2] : most;
            least = p[2] < least ? p[2] : least;
            count += most - least > 12;
        }
    cairo_surface_destroy(png);
    return (double)count;
}

/* A quarter of the cells goes; the rest of the page, key included, stays. */
Test(figure, is_blank_where_a_height_is_not_seen, .fini = bt_figure_teardown)
{
    struct bt_figure_bytes b;
    double whole, part, scale = 177.0 / 800 * 7.5,
                        cells = 4 * 100 * 100 * scale * scale;

    panel_grid(&panel, 9, 5, hollow);
    cr_assert_eq(bt_figure_map(&panel.input, BT_FIGURE_PNG, &b, NULL), BT_OK);
    whole = coloured(&b);
    bt_figure_bytes_clear(&b);
    panel.z[2 * 9 + 2] = NAN;
    cr_assert_eq(bt_figure_map(&panel.input, BT_FIGURE_PNG, &b, NULL), BT_OK);
    part = coloured(&b);
    bt_figure_bytes_clear(&b);
    /* Lines, labels and near-grey bands take a part of the cells away. */
    cr_expect(whole - part >= 0.6 * cells && whole - part <= 1.1 * cells,
              "%g of %g pixels became blank", whole - part, cells);
}

Test(figure, format_goes_by_the_end_of_the_name)
{
    static const struct {
        const char *name;
        enum bt_figure_format format;
    } good[] = {{"a.svg", BT_FIGURE_SVG},
                {"b/c.PDF", BT_FIGURE_PDF},
                {"x.y.png", BT_FIGURE_PNG}};
    static const char *const bad[] = {"", "svg", "a.jpg", "a.svg.gz", ".sv"};
    enum bt_figure_format format;
    struct bt_error err;

    for (size_t i = 0; i < 3; i++) {
        cr_expect_eq(bt_figure_format_of(good[i].name, &format, NULL), BT_OK);
        cr_expect_eq(format, good[i].format, "%s", good[i].name);
    }
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        cr_expect_eq(bt_figure_format_of(bad[i], &format, &err), BT_EINPUT, "%s",
                     bad[i]);
        cr_expect_str_eq(err.message, "a figure's name ends in .svg, .pdf or .png");
    }
}

Test(figure, refuses_what_cannot_be_drawn_and_says_why)
{
    struct bt_figure_bytes b = {.length = 7};
    struct bt_error err;

    panel_grid(&panel, 5, 3, hollow);
    panel.point[6].y = INFINITY;
    cr_expect_eq(bt_figure_map(&panel.input, BT_FIGURE_SVG, &b, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "a place is not finite, or over 1 km away");
    cr_expect_eq(err.row, 6);
    cr_expect_eq(bt_figure_lines(&panel.input, BT_FIGURE_SVG, &b, &err), BT_EINPUT);
    cr_expect_eq(err.row, 6);
    panel.point[6].y = 200;
    panel.point[9].x = -1e300;
    cr_expect_eq(bt_figure_map(&panel.input, BT_FIGURE_SVG, &b, &err), BT_EINPUT);
    cr_expect_eq(err.row, 9);
    panel.set.readings.npoint = 2;
    cr_expect_eq(bt_figure_lines(&panel.input, BT_FIGURE_SVG, &b, &err), BT_EINPUT);
    cr_expect_str_eq(err.message,
                     "no line of three places was read: no profile to draw");
    panel.set.readings.npoint = 0;
    cr_expect_eq(bt_figure_map(&panel.input, BT_FIGURE_SVG, &b, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "no place was read: nothing to draw");
    cr_expect_eq(bt_figure_lines(&panel.input, BT_FIGURE_SVG, &b, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "no place was read: nothing to draw");
    cr_expect_eq(b.length, 7, "untouched on error");
}

static bool meet(const struct box *a, const struct box *b)
{
    return a->x0 < b->x1 && b->x0 < a->x1 && a->y0 < b->y1 && b->y0 < a->y1;
}

static void expect_tidy(const struct page *page, const char *name)
{
    for (size_t i = 0; i < page->nwritten; i++) {
        const struct box *b = &page->written[i].box;
        const char *text = page->words + page->written[i].text;

        /* Empty texts keep the places of marks free. */
        if (!*text)
            continue;
        cr_expect(b->x0 >= 2 && b->x1 <= page->width - 2 && b->y0 >= 2 &&
                      b->y1 <= page->height - 2,
                  "%s: '%s' runs off the page", name, text);
        for (size_t k = 0; k < i; k++) {
            const char *other = page->words + page->written[k].text;

            cr_expect(!*other || !meet(b, &page->written[k].box),
                      "%s: '%s' is written over '%s'", name, text, other);
        }
    }
}

Test(figure, nothing_is_written_off_the_page_or_over_other_words,
     .fini = bt_figure_teardown)
{
    static const struct {
        const char *name;
        double length, width;
    } shapes[] = {{"shelf", 800, 400},
                  {"plank", 2400, 180},
                  {"post", 150, 900},
                  {"square", 500, 500},
                  {"lath", 9000, 20}};

    for (size_t k = 0; k < sizeof shapes / sizeof *shapes; k++) {
        const struct page_size a4 = page_size_of(BT_PAPER_A4);
        struct map_figure f;
        struct page page;
        double high;

        panel_grid(&panel, 9, 5, two_hills);
        for (size_t i = 0; i < 45; i++) {
            panel.point[i].x *= shapes[k].length / 800;
            panel.point[i].y *= shapes[k].width / 400;
        }
        panel.job.panel.length = shapes[k].length;
        panel.job.panel.width = shapes[k].width;
        cr_assert_eq(map_prepare(&panel.input, &f, NULL), BT_OK);
        cr_assert_eq(page_open(&page, BT_FIGURE_SVG, &a4, false, "", "", NULL), BT_OK);
        high = map_draw(&f, &page);
        cr_expect(high > 100 && high <= a4.height, "%s: %g mm", shapes[k].name, high);
        expect_tidy(&page, shapes[k].name);
        cr_expect_gt(page.nwritten, 20);
        page_close(&page);
        map_clear(&f);
    }
}

/* On a paper grid a 6 on a line down the page looked like the 9 on its neighbour. */
Test(figure, turns_labels_along_their_line_and_upwards_on_steep_ones)
{
    const double up = -acos(-1) / 2;

    cr_expect(fabs(page_reading_angle(3, 1) - atan(1.0 / 3)) <= 1e-15);
    cr_expect(fabs(page_reading_angle(-3, -1) - atan(1.0 / 3)) <= 1e-15);
    cr_expect(fabs(page_reading_angle(-3, 1) + atan(1.0 / 3)) <= 1e-15);
    cr_expect(fabs(page_reading_angle(1, 9) - (up - atan(1.0 / 9))) <= 1e-14);
    cr_expect(fabs(page_reading_angle(-1, 9) - (up + atan(1.0 / 9))) <= 1e-14);
    cr_expect(fabs(page_reading_angle(0, 2) - up) <= 1e-14);
    cr_expect(fabs(page_reading_angle(0, -2) - up) <= 1e-14);
}

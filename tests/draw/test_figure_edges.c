/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "draw/boards.h"
#include "draw/edges_figure.h"
#include "draw/written.h"
#include "support/memory.h"

static struct boards boards;

static enum bt_status make(enum bt_figure_format format, struct bt_figure_bytes *b,
                           struct bt_error *err)
{
    return bt_figure_edges(&boards.input, format, b, err);
}

/* The SVG as text; *b is to be cleared. */
static const char *svg(struct bt_figure_bytes *b)
{
    struct bt_error err = {0};

    cr_assert_eq(make(BT_FIGURE_SVG, b, &err), BT_OK, "%s", err.message);
    return written_text(b);
}

static void expect_words(const char *text, const char *const words[], size_t n)
{
    for (size_t i = 0; i < n; i++)
        cr_expect_not_null(strstr(text, words[i]), "'%s' is missing", words[i]);
}

Test(figure_edges, says_what_is_followed_at_the_machine, .fini = bt_figure_teardown)
{
    static const char *const words[] = {
        "<title>Reading-room table</title>",
        "Edges, 2026-03-02, pattern: same face, 3 boards, together 351.5 mm",
        "Edges at the fence face: 90 deg + 0.252 deg, u 0.017 deg. Cup expected: ",
        " mm hollow, u 0.05 mm.",
        "left end, from which the boards are seen below",
        "back edge",
        "The ends of the boards, apart, show face up: 1 : 2.5, all angles drawn 50 "
        "times",
        "\n2  Ash A2\n92 mm\nin\nin\n",
        "\njoint 1\n",
        "\njoint 2\n",
        "The panel as it comes out of the clamps, all angles drawn ",
        "\n1  Ash A1\nin\nshow face\nleft end\nin\nshow face\nright end\n+0.50 deg\n"
        "0.194 mm, show\n",
        "Layout triangle",
        "fed from right to left",
        "there the grain runs out",
    };
    struct bt_figure_bytes b;
    const char *text;

    boards_make(&boards, 3, false, 0.0044);
    text = svg(&b);
    expect_words(text, words, sizeof words / sizeof *words);
    cr_expect_null(strstr(text, "nan"));
    cr_expect_null(strstr(text, "inf"));
    cr_expect_null(strstr(text, "Turn over"));
    bt_figure_bytes_clear(&b);
}

/* Alternate boards with the same error close on each other; nothing bends. */
Test(figure_edges, boards_that_alternate_close, .fini = bt_figure_teardown)
{
    static const char *const words[] = {
        "\n2  Ash A2\nout\nother face\nright end\nout\nother face\nleft end\n"
        "0.00 deg\ncloses\n",
        "cup 0.00 mm, u 0.05 mm"};
    struct bt_figure_bytes b;

    boards_make(&boards, 3, true, 0.0044);
    expect_words(svg(&b), words, 2);
    bt_figure_bytes_clear(&b);
}

/* Each of the other edge, the other face and the other feed sends the other end first.
 * Common practice, no source: stand a board on its front edge with the show face to
 * you, its left end is on your left. */
Test(figure_edges, end_that_leads_turns_with_edge_face_and_feed)
{
    static const struct {
        bool front;
        enum bt_run run;
        enum bt_feed feed;
        bool left;
    } cases[] = {
        {true, BT_RUN_OUT, BT_FEED_RIGHT_TO_LEFT, true},
        {true, BT_RUN_IN, BT_FEED_RIGHT_TO_LEFT, false},
        {false, BT_RUN_OUT, BT_FEED_RIGHT_TO_LEFT, false},
        {false, BT_RUN_IN, BT_FEED_RIGHT_TO_LEFT, true},
        {true, BT_RUN_OUT, BT_FEED_LEFT_TO_RIGHT, false},
        {false, BT_RUN_IN, BT_FEED_LEFT_TO_RIGHT, false},
    };

    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        cr_expect_eq(edges_left_leads(cases[i].front, cases[i].run, cases[i].feed),
                     cases[i].left, "case %zu", i);
}

Test(figure_edges, warns_in_words_and_at_the_edge, .fini = bt_figure_teardown)
{
    static const char *const words[] = {
        ("Turn over about their length before anything else, so that the other face "
         "shows: board 2, 4."),
        "The job asks for the other face at the fence: 5 back.",
        "Against the grain, which the job does not allow: 1 front.",
        "Against the grain, take a light cut: 3 front, 6 back.",
        /* The mark stands beside its edge in the end view and in the table. */
        "\n3  Ash A3\n141.5 mm\nin\nin\n!\n",
        "\n3  Ash A3\nin\nshow face\nleft end\nin\n!\n",
    };
    struct bt_figure_bytes b;

    boards_make(&boards, 6, false, 0.0044);
    boards.run[1].turned = boards.run[3].turned = true;
    boards.plan.nconflict = 4;
    boards.conflict[0] = (struct bt_edge_conflict){
        .board = 4, .front = false, .kind = BT_CONFLICT_FACE, .forbidden = true};
    boards.conflict[1] = (struct bt_edge_conflict){
        .board = 0, .front = true, .kind = BT_CONFLICT_GRAIN, .forbidden = true};
    boards.conflict[2] = (struct bt_edge_conflict){
        .board = 2, .front = true, .kind = BT_CONFLICT_GRAIN, .forbidden = false};
    boards.conflict[3] = (struct bt_edge_conflict){
        .board = 5, .front = false, .kind = BT_CONFLICT_GRAIN, .forbidden = false};
    expect_words(svg(&b), words, sizeof words / sizeof *words);
    bt_figure_bytes_clear(&b);
}

Test(figure_edges, a_board_turned_over_shows_its_grain_the_other_way)
{
    struct edges_figure f = {.in = &boards.input, .n = 3};

    boards_make(&boards, 3, false, 0);
    cr_expect_eq(edges_grain(&f, 0), BT_GRAIN_UNKNOWN);
    cr_expect_eq(edges_grain(&f, 1), BT_GRAIN_LEFT);
    boards.run[0].turned = boards.run[1].turned = true;
    cr_expect_eq(edges_grain(&f, 0), BT_GRAIN_UNKNOWN);
    cr_expect_eq(edges_grain(&f, 1), BT_GRAIN_RIGHT);
}

Test(figure_edges, unsearched_best_and_inches_and_unknowns_are_said,
     .fini = bt_figure_teardown)
{
    static const char *const words[] = {
        "pattern: best (as far as was searched), 2 boards, together 8 17/64 in",
        "<title>Panel</title>",
        "undated",
        "Cup expected: not seen.",
        "cup not seen",
        "fed from left to right"};
    struct bt_figure_bytes b;

    boards_make(&boards, 2, false, -0.0044);
    boards.input.pattern = BT_PATTERN_BEST;
    boards.input.feed = BT_FEED_LEFT_TO_RIGHT;
    boards.plan.proven = false;
    boards.job.system = BT_SYSTEM_IN;
    boards.job.title = NULL;
    boards.job.date = NULL;
    boards.board[0].name = NULL;
    boards.section.cup = (struct bt_measured){NAN, NAN, false};
    boards.input.errors.u_e = NAN;
    expect_words(svg(&b), words, sizeof words / sizeof *words);
    cr_expect_null(strstr((char *)b.bytes, "nan"));
    bt_figure_bytes_clear(&b);
}

/* Whether a polygon whose corners lie so from its first one is in the SVG, to a
 * hundredth of a mm (cairo writes what is stroked in the page's own unit). */
static bool has_polygon(const char *text, const struct bt_point from[END_CORNERS])
{
    for (const char *p = strstr(text, " d=\"M "); p; p = strstr(p + 1, " d=\"M ")) {
        const char *c = p + 4;
        struct bt_point at[END_CORNERS] = {{0, 0}};
        bool same = true;

        for (int k = 0; k < END_CORNERS && same; k++) {
            char *end = NULL;

            same = *c == (k ? 'L' : 'M');
            if (!same)
                break;
            at[k].x = strtod(c + 1, &end);
            at[k].y = strtod(end, &end);
            same = fabs(at[k].x - at[0].x - from[k].x) <= 0.01 &&
                   fabs(at[k].y - at[0].y - from[k].y) <= 0.01;
            c = end + 1;
        }
        if (same)
            return true;
    }
    return false;
}

/* Two boards of 118 and 92, both 22 thick, edges leaning by 0.0044 rad each: 1 : 2,
 * angles 50 times.  Reckoned by hand: 59 and 46 wide above, 11 high, each edge out by
 * 11 tan(0.22) = 2.460 on the first; in on the second, which was run the other way. */
Test(figure_edges, ends_are_drawn_to_scale, .fini = bt_figure_teardown)
{
    static const struct bt_point first[END_CORNERS] = {
        {0, 0}, {59, 0}, {61.460, 11}, {-2.460, 11}};
    static const struct bt_point second[END_CORNERS] = {
        {0, 0}, {46, 0}, {43.540, 11}, {2.460, 11}};
    struct bt_figure_bytes b;
    const char *text;

    boards_make(&boards, 2, true, 0.0044);
    text = svg(&b);
    cr_expect_not_null(strstr(text, "1 : 2, all angles drawn 50 times as large"));
    cr_expect(has_polygon(text, first), "no such first board");
    cr_expect(has_polygon(text, second), "no such second board");
    bt_figure_bytes_clear(&b);
}

/* Drawn as they are, the corners are those of the section, turned level. */
Test(figure_edges, section_keeps_the_corners_that_it_was_given)
{
    struct edges_figure f;
    const struct bt_quad *q = boards.quad;
    struct bt_point corner[7 * END_CORNERS];
    double dy, dz, length;

    boards_make(&boards, 7, false, 0.02);
    boards.run[2].front = boards.run[5].back = BT_RUN_OUT;
    boards_section(&boards, 0.02);
    cr_assert_eq(edges_prepare(&boards.input, &f, NULL), BT_OK);
    edges_chain(7, f.shape, 1, corner);
    dy = q[6].show_front[0];
    dz = q[6].show_front[1];
    length = hypot(dy, dz);
    for (size_t i = 0; i < 7; i++) {
        const double *given[END_CORNERS] = {q[i].show_back, q[i].show_front,
                                            q[i].other_front, q[i].other_back};

        for (int k = 0; k < END_CORNERS; k++) {
            double y = (given[k][0] * dy + given[k][1] * dz) / length;
            double z = (given[k][1] * dy - given[k][0] * dz) / length;
            struct bt_point p = corner[i * END_CORNERS + (size_t)k];

            cr_expect(fabs(p.x - y) <= 1e-9 && fabs(p.y + z) <= 1e-9,
                      "board %zu, corner %d: %g %g, not %g %g", i, k, p.x, -p.y, y, z);
        }
    }
    edges_clear(&f);
}

Test(figure_edges, square_edges_are_drawn_as_they_are, .fini = bt_figure_teardown)
{
    static const char *const words[] = {
        "show face up: 1 : 2, angles drawn as they are",
        "out of the clamps, angles drawn as they are\ncup 0.00 mm, u 0.05 mm"};
    struct bt_figure_bytes b;

    boards_make(&boards, 3, false, 0);
    expect_words(svg(&b), words, 2);
    bt_figure_bytes_clear(&b);
}

/* Corners of the section module itself: tapers, a board turned over, every run. */
Test(figure_edges, section_of_tapered_and_turned_boards_nests)
{
    static const struct bt_strip strip[4] = {
        {118, 22, 0.3}, {92, 22, -0.2}, {141.5, 22, 0.4}, {70, 22, 0}};
    static const struct bt_board_run run[4] = {{BT_RUN_IN, BT_RUN_OUT, false},
                                               {BT_RUN_OUT, BT_RUN_OUT, true},
                                               {BT_RUN_OUT, BT_RUN_IN, true},
                                               {BT_RUN_IN, BT_RUN_IN, false}};
    const struct bt_edge_errors errors = {.e = 0.0044, .u_e = 0.0003};
    struct bt_section section = {0};
    struct edges_figure f;

    boards_make(&boards, 4, false, 0.0044);
    cr_assert_eq(bt_section_evaluate(4, strip, run, &errors, &section, NULL), BT_OK);
    boards.input.section = &section;
    cr_assert_eq(edges_prepare(&boards.input, &f, NULL), BT_OK);
    for (size_t i = 0; i + 1 < 4; i++) {
        double bend = f.shape[i + 1].turn - f.shape[i].turn;

        cr_expect(fabs(bend - section.joint[i].kink.value) <= 1e-12);
        cr_expect(fabs(f.shape[i].lean_front + f.shape[i + 1].lean_back - bend) <=
                  1e-12);
        cr_expect(fabs(f.shape[i].thickness - 22) <= 1e-9);
    }
    cr_expect(fabs(f.shape[2].slope + 0.4 / 141.5) <= 1e-12, "turned: thin in front");
    edges_clear(&f);
    bt_section_clear(&section);
}

/* However large the factor: neighbours in the section share their edge. */
Test(figure_edges, mating_edges_nest_when_exaggerated)
{
    struct edges_figure f;

    boards_make(&boards, 12, false, 0.003);
    boards.run[4].front = boards.run[7].back = BT_RUN_OUT;
    boards_section(&boards, 0.003);
    cr_assert_eq(edges_prepare(&boards.input, &f, NULL), BT_OK);
    cr_expect_gt(f.bend, 1);
    for (size_t i = 0; i + 1 < 12; i++) {
        const struct bt_point *a = f.together + i * END_CORNERS;
        const struct bt_point *b = a + END_CORNERS;
        double across = (a[END_OTHER_FRONT].x - a[END_SHOW_FRONT].x) *
                            (b[END_OTHER_BACK].y - b[END_SHOW_BACK].y) -
                        (a[END_OTHER_FRONT].y - a[END_SHOW_FRONT].y) *
                            (b[END_OTHER_BACK].x - b[END_SHOW_BACK].x);

        cr_expect(fabs(a[END_SHOW_FRONT].x - b[END_SHOW_BACK].x) <= 1e-9);
        cr_expect(fabs(across) <= 1e-9, "joint %zu gapes by %g mm2", i, across);
    }
    edges_clear(&f);
}

Test(figure_edges, tapered_board_is_taken_apart_and_put_together_again)
{
    const struct bt_quad quad = {{10, 3}, {109.9, 7.2}, {10.4, -16.8}, {111.3, -14.6}};
    struct end_shape shape;
    struct bt_point p[END_CORNERS];

    cr_assert(end_shape_of(&quad, &shape));
    end_corners(&shape, 1, p);
    cr_expect(fabs(hypot(p[END_OTHER_BACK].x, p[END_OTHER_BACK].y) -
                   hypot(0.4, 19.8)) <= 1e-9);
    cr_expect(
        fabs(hypot(p[END_OTHER_FRONT].x - p[END_SHOW_FRONT].x, p[END_OTHER_FRONT].y) -
             hypot(1.4, 21.8)) <= 1e-9);
    cr_expect(fabs(hypot(p[END_OTHER_FRONT].x - p[END_OTHER_BACK].x,
                         p[END_OTHER_FRONT].y - p[END_OTHER_BACK].y) -
                   hypot(100.9, 2.2)) <= 1e-9);
}

/* Sizes that a maker has, and names that no slot holds. */
Test(figure_edges, texts_keep_apart_and_on_the_page, .fini = bt_figure_teardown)
{
    static const size_t sizes[] = {1, 2, 3, 6, 7, 8, 12, 13, 24, 25, 40};

    for (size_t k = 0; k < 2 * sizeof sizes / sizeof *sizes; k++) {
        struct edges_figure f;
        size_t n = sizes[k / 2];

        boards_make(&boards, n, k % 2, 0.0044);
        for (size_t i = 0; i < n && k % 2; i++)
            snprintf(boards.name[i], sizeof boards.name[i],
                     "board %zu, whose name is far too long for its slot", i);
        boards.board[n / 2].width = 31;
        boards.board[0].width = 412;
        boards_section(&boards, 0.0044);
        boards.plan.nconflict = 2;
        boards.conflict[0] = (struct bt_edge_conflict){
            .board = n / 2, .front = true, .kind = BT_CONFLICT_GRAIN};
        boards.conflict[1] = (struct bt_edge_conflict){
            .board = n / 2, .front = false, .kind = BT_CONFLICT_GRAIN};
        cr_assert_eq(edges_prepare(&boards.input, &f, NULL), BT_OK);
        cr_expect_geq(f.letter, 2.3);
        written_expect_apart(edges_draw, &f, n);
        edges_clear(&f);
    }
}

Test(figure_edges, twenty_four_boards_print_on_one_page_and_more_go_on,
     .fini = bt_figure_teardown)
{
    struct bt_figure_bytes b;

    boards_make(&boards, 24, false, 0.0044);
    boards.plan.nconflict = 8;
    for (size_t k = 0; k < 8; k++)
        boards.conflict[k] = (struct bt_edge_conflict){.board = 3 * k,
                                                       .front = k % 2,
                                                       .kind = k % 3 ? BT_CONFLICT_GRAIN
                                                                     : BT_CONFLICT_FACE,
                                                       .forbidden = k % 4 == 0};
    boards.run[1].turned = true;
    cr_assert_eq(make(BT_FIGURE_PDF, &b, NULL), BT_OK);
    cr_expect_eq(written_pages(&b), 1);
    bt_figure_bytes_clear(&b);
    boards_make(&boards, 40, true, 0.0044);
    cr_assert_eq(make(BT_FIGURE_PDF, &b, NULL), BT_OK);
    cr_expect_eq(written_pages(&b), 2);
    bt_figure_bytes_clear(&b);
}

Test(figure_edges, every_format_is_the_same_twice, .fini = bt_figure_teardown)
{
    static const char *const head[] = {"<?xml version=\"1.0\"", "%PDF-1.",
                                       "\x89PNG\r\n"};

    boards_make(&boards, 8, true, 0.0044);
    for (int f = BT_FIGURE_SVG; f <= BT_FIGURE_PNG; f++) {
        struct bt_figure_bytes one, two;

        cr_assert_eq(make((enum bt_figure_format)f, &one, NULL), BT_OK);
        cr_assert_eq(make((enum bt_figure_format)f, &two, NULL), BT_OK);
        cr_expect(memcmp(one.bytes, head[f], strlen(head[f])) == 0, "format %d", f);
        cr_expect(one.length == two.length &&
                      memcmp(one.bytes, two.bytes, one.length) == 0,
                  "format %d", f);
        bt_figure_bytes_clear(&one);
        bt_figure_bytes_clear(&two);
    }
}

static void expect_refused(const char *why, size_t row)
{
    struct bt_figure_bytes b = {.length = 7};
    struct bt_error err = {0};

    cr_expect_eq(make(BT_FIGURE_SVG, &b, &err), BT_EINPUT, "%s", why);
    cr_expect_str_eq(err.message, why);
    cr_expect_eq(err.row, row, "%s", why);
    cr_expect_eq(b.length, 7, "the output was touched");
}

Test(figure_edges, refuses_what_cannot_be_drawn_and_says_why)
{
    static const char no_section[] =
        "the section of a board is not one: a corner is not finite, a face has no "
        "width, an edge no height or a lean of 45 deg";

    boards_make(&boards, 3, false, 0.0044);
    boards.quad[2].other_front[1] = NAN;
    expect_refused(no_section, 2);
    boards_make(&boards, 3, false, 0.0044);
    boards.quad[1].show_front[0] = boards.quad[1].show_back[0];
    boards.quad[1].show_front[1] = boards.quad[1].show_back[1];
    expect_refused(no_section, 1);
    boards_make(&boards, 3, false, 0.0044);
    boards.quad[0].other_back[0] = -22.1;
    expect_refused(no_section, 0);
    boards_make(&boards, 3, false, 0.0044);
    boards.kink[1].kink.value = NAN;
    expect_refused("the kink or the opening of a joint is not finite", 1);
    boards_make(&boards, 3, false, 0.0044);
    boards.kink[0].opening.value = INFINITY;
    expect_refused("the kink or the opening of a joint is not finite", 0);
    boards_make(&boards, 3, false, 0.0044);
    boards.input.errors.e = NAN;
    expect_refused("the error of the fence is not finite", 0);
    boards_make(&boards, 3, false, 0.0044);
    boards.plan.nconflict = 2;
    boards.conflict[1].board = 3;
    expect_refused("a conflict names a board that is not there", 1);
    boards_make(&boards, 3, false, 0.0044);
    boards.plan.nboard = 2;
    expect_refused("job, plan and section have not the same boards", 0);
    boards_make(&boards, 3, false, 0.0044);
    boards.job.nboard = 0;
    expect_refused("no board: no edges to draw", 0);
}

Test(figure_edges, fails_cleanly_at_every_allocation, .fini = bt_figure_teardown)
{
    enum bt_status status = BT_ENOMEM;
    size_t k = 1;

    boards_make(&boards, 3, false, 0.0044);
    for (; status != BT_OK; k++) {
        struct bt_figure_bytes b = {0};
        struct bt_error err = {0};

        cr_assert_lt(k, 2000, "never done");
        memory_fail_at(k);
        status = make(k % 2 ? BT_FIGURE_SVG : BT_FIGURE_PDF, &b, &err);
        cr_assert(status == BT_OK || status == BT_ENOMEM, "call %zu gave %d: %s", k,
                  (int)status, err.message);
        if (status == BT_ENOMEM)
            cr_expect_str_eq(err.message, "out of memory");
        bt_figure_bytes_clear(&b);
        cr_assert_eq(memory_live(), 0, "call %zu leaked", k);
    }
    cr_expect_gt(k, 10, "nothing was allocated");
    memory_fail_at(0);
}

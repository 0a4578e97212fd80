/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Heights that anyone can have: `volcano` of R, a hill of 87 x 61 places, 10 m of the
 * map for 10 mm.  Its figures were computed by R, NumPy and SciPy and then exactly
 * (reference/metrology/volcano_check.py).
 */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "benchtrue/surface/extremes.h"
#include "benchtrue/surface/scan.h"
#include "support/reference.h"

enum { NX = 87, NY = 61, N = NX * NY, WANTED = 15 };

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(open_grid, .init = quiet_gsl);

struct figure {
    const char *quantity;
    double value;
};

/* In mm, slopes in mm/mm.  The heights are whole numbers up to 195, one rounding of
 * them is 2.8e-14. */
static const struct {
    const char *quantity;
    double tolerance;
} allowed[WANTED] = {
    /* plane: bt_plane_fit promises 1e-13 of the heights */
    {"plane_a_mm", 2e-11},
    /* the same over the 600 mm across, half of it each way */
    {"plane_b", 7e-14},
    {"plane_c", 7e-14},
    /* a height less a plane */
    {"peak_mm", 2e-11},
    {"valley_mm", 2e-11},
    /* a difference of two of these */
    {"range_mm", 4e-11},
    /* a mean of 5307 squares: as good as one height */
    {"rms_mm", 2e-11},
    /* six terms by least squares, columns nearly orthogonal: as the plane */
    {"bow_mm", 2e-11},
    {"cup_mm", 2e-11},
    /* four times its term */
    {"twist_mm", 8e-11},
    /* certificate of bt_zone_fit: 1e-12 of the range and 4 roundings of the heights */
    {"zone_vertical_mm", 1.1e-10},
    /* a chord over three heights, some roundings each; a plane taken off cancels */
    {"gap_along_100_mm", 1e-12},
    {"gap_across_100_mm", 1e-12},
    {"gap_along_300_mm", 1e-12},
    {"gap_across_300_mm", 1e-12},
};

struct grid {
    struct bt_point p[N];
    double z[N];
};

static void load_grid(struct grid *grid)
{
    struct reference *t = reference_load("metrology/volcano_grid.csv");

    cr_assert_eq(reference_rows(t), N);
    for (size_t i = 0; i < N; i++) {
        grid->p[i].x = reference_number(t, i, "x_mm");
        grid->p[i].y = reference_number(t, i, "y_mm");
        grid->z[i] = reference_number(t, i, "z_mm");
    }
    reference_free(t);
}

/* Every figure stands in the table, and has its tolerance. */
static void expect_figures(size_t n, const struct figure figure[])
{
    struct reference *t = reference_load("metrology/volcano_expected.csv");

    cr_expect_eq(reference_rows(t), WANTED);
    for (size_t i = 0; i < n; i++) {
        const size_t row = reference_find(t, "quantity", figure[i].quantity, 0);
        const double want = reference_number(t, row, "value"), got = figure[i].value;
        size_t k = 0;

        while (k < WANTED && strcmp(allowed[k].quantity, figure[i].quantity) != 0)
            k++;
        cr_assert(k < WANTED, "%s has no tolerance", figure[i].quantity);
        cr_expect(fabs(got - want) <= allowed[k].tolerance, "%s: %.17g, not %.17g (%g)",
                  figure[i].quantity, got, want, got - want);
    }
    reference_free(t);
}

enum { LEAST_SQUARES = 10 };

static void list_least_squares(const struct bt_plane *plane,
                               const struct bt_residual_figures *residual,
                               const struct bt_form *form, struct figure *out)
{
    const struct figure list[LEAST_SQUARES] = {
        {"plane_a_mm", plane->a},
        {"plane_b", plane->b},
        {"plane_c", plane->c},
        {"peak_mm", residual->peak.value},
        {"valley_mm", residual->valley.value},
        {"range_mm", residual->range.value},
        {"rms_mm", residual->rms.value},
        {"bow_mm", form->bow.value},
        {"cup_mm", form->cup.value},
        {"twist_mm", form->twist.value},
    };

    memcpy(out, list, sizeof list);
}

static const struct {
    const char *quantity;
    enum bt_edge_direction direction;
    double span;
} edges[4] = {
    {"gap_along_100_mm", BT_EDGE_ALONG, 100},
    {"gap_across_100_mm", BT_EDGE_ACROSS, 100},
    {"gap_along_300_mm", BT_EDGE_ALONG, 300},
    {"gap_across_300_mm", BT_EDGE_ACROSS, 300},
};

Test(open_grid, scan_has_the_plane_residuals_and_form_that_r_finds)
{
    static struct grid grid;
    static const struct bt_rectangle extent = {0, 0, 10 * (NX - 1), 10 * (NY - 1)};
    const struct bt_scan scan = {N, grid.p, grid.z, 0.03};
    struct bt_scan_figures figures;
    struct figure list[LEAST_SQUARES];

    load_grid(&grid);
    cr_assert_eq(bt_scan_form(&scan, &extent, &figures, NULL, NULL, NULL), BT_OK);
    list_least_squares(&figures.plane, &figures.residual, &figures.form, list);
    expect_figures(LEAST_SQUARES, list);
}

Test(open_grid, minimum_zone_is_that_of_a_linear_programme)
{
    static struct grid grid;
    struct bt_zone zone;

    load_grid(&grid);
    cr_assert_eq(bt_zone_fit(N, grid.p, grid.z, &zone, NULL), BT_OK);
    expect_figures(1, &(struct figure){"zone_vertical_mm", zone.vertical});
    cr_expect_eq(zone.kind, BT_ZONE_1_3); /* a summit over three corners */
}

Test(open_grid, largest_gap_is_that_of_every_chord_of_every_row_and_column)
{
    static struct grid grid;
    const struct bt_edge_search search = {.length = 860, .width = 600, .band = 5};
    struct bt_edge_result result;

    load_grid(&grid);
    for (size_t k = 0; k < 4; k++) {
        cr_assert_eq(bt_edge_gap_search(N, grid.p, grid.z, &search, edges[k].direction,
                                        edges[k].span, &result, NULL),
                     BT_OK);
        cr_expect_eq(result.lines,
                     (size_t)(edges[k].direction == BT_EDGE_ALONG ? NY : NX));
        expect_figures(1, &(struct figure){edges[k].quantity, result.worst.gap});
    }
}

/* The way that the program takes: zone and edges over the heights less their plane. */
Test(open_grid, evaluation_of_the_whole_scan_gives_all_of_these)
{
    static struct grid grid;
    const struct bt_readings readings = {
        .npoint = N, .point = grid.p, .scan = grid.z, .scan_u = 0.03};
    const struct bt_extremes_request request = {.nspan = 2, .span = {100, 300}};
    struct bt_flatness flatness;
    struct bt_extremes extremes;
    struct figure list[WANTED];
    size_t n = LEAST_SQUARES;

    load_grid(&grid);
    cr_assert_eq(bt_flatness_evaluate(
                     &readings, &(struct bt_flatness_options){.one_reference = true},
                     &flatness, NULL),
                 BT_OK);
    cr_assert_eq(bt_extremes_evaluate(&flatness, &request, &extremes, NULL), BT_OK);
    list_least_squares(&flatness.plane, &flatness.residual, &flatness.form, list);
    list[n++] = (struct figure){"zone_vertical_mm", extremes.zone.vertical};
    for (size_t k = 0; k < 4; k++)
        for (size_t e = 0; e < extremes.nedge; e++)
            if (extremes.edge[e].at.direction == edges[k].direction &&
                extremes.edge[e].at.span == edges[k].span && n < WANTED)
                list[n++] =
                    (struct figure){edges[k].quantity, extremes.edge[e].gap.value};
    cr_expect_eq(n, WANTED);
    expect_figures(n, list);
    bt_extremes_clear(&extremes);
    bt_flatness_clear(&flatness);
}

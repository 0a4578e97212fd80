/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The zone against the same problem given to GLPK as a linear programme. */
#include "benchtrue/surface/zone.h"

#include <criterion/criterion.h>
#include <glpk.h>
#include <gsl/gsl_errno.h>
#include <math.h>

#include "zone_proof.h"

static void quiet(void)
{
    gsl_set_error_handler_off();
    glp_term_out(GLP_OFF);
}

TestSuite(zone_programme, .init = quiet);

enum { CASES = 2000, MOST = 40, KINDS = 8 };

/* Least w with  z_i - w <= a + b x_i + c y_i <= z_i + w.  The programme sees places
 * around 0 of size 1. */
static double width_by_programme(const struct zone_case *c, double x, double y,
                                 double size)
{
    glp_prob *lp = glp_create_prob();
    glp_smcp how;
    double width = NAN;

    glp_add_cols(lp, 4);
    glp_set_obj_dir(lp, GLP_MIN);
    glp_set_obj_coef(lp, 4, 1.0);
    for (int j = 1; j <= 4; j++)
        glp_set_col_bnds(lp, j, j < 4 ? GLP_FR : GLP_LO, 0.0, 0.0);
    glp_add_rows(lp, 2 * (int)c->n);
    for (int i = 0; i < (int)c->n; i++)
        for (int side = 0; side < 2; side++) {
            const int row = 2 * i + side + 1, index[5] = {0, 1, 2, 3, 4};
            const double value[5] = {0.0, 1.0, (c->p[i].x - x) / size,
                                     (c->p[i].y - y) / size, side ? -1.0 : 1.0};
            glp_set_mat_row(lp, row, 4, index, value);
            glp_set_row_bnds(lp, row, side ? GLP_UP : GLP_LO, c->z[i], c->z[i]);
        }
    glp_init_smcp(&how);
    how.msg_lev = GLP_MSG_OFF;
    how.tol_bnd = how.tol_dj = 1e-11;
    if (glp_simplex(lp, &how) == 0 && glp_get_status(lp) == GLP_OPT)
        width = 2.0 * glp_get_obj_val(lp);
    glp_delete_prob(lp);
    return width;
}

/* Few points of every kind: grids of whole heights, double places, 2 x n, nearly a
 * line, steep, anywhere. */
static void make_case(size_t k, unsigned long long *state, struct zone_case *c)
{
    const size_t kind = k % KINDS;
    const size_t columns = 2 + (size_t)(5.0 * zone_next(state));

    c->n = 4 + (size_t)((MOST - 3) * zone_next(state));
    for (size_t i = 0; i < c->n; i++) {
        double x = zone_next(state), y = zone_next(state);
        double z = 2.0 * zone_next(state) - 1.0;

        if (kind == 0 || kind == 1 || kind == 2) {
            x = (double)(i % columns) / 8.0;
            y = (double)(i / columns) / 16.0;
        }
        if (kind == 1 || kind == 3)
            z = floor(4.0 * z);
        if (kind == 2)
            z = x * y + x * x;
        if (kind == 3)
            x = floor(3.0 * x) / 4.0;
        if (kind == 4)
            x = i % 2 ? 0.25 : 0.75;
        if (kind == 5)
            y = 0.5 * x + 0.01 * y;
        if (kind == 6)
            z += 30.0 * x - 70.0 * y + 500.0;
        c->p[i] = (struct bt_point){1000.0 * x, 600.0 * y};
        c->z[i] = z;
    }
    if (c->n == columns) /* one row of a grid */
        c->p[0].y += 100.0;
}

Test(zone_programme, agrees_with_a_linear_programme_on_two_thousand_cases)
{
    static struct zone_case c;
    unsigned long long state = 5;
    size_t compared = 0;

    for (size_t k = 0; k < CASES; k++) {
        struct bt_zone zone;
        enum bt_status status;
        double range, width;

        make_case(k, &state, &c);
        status = bt_zone_fit(c.n, c.p, c.z, &zone, NULL);
        if (status == BT_ESINGULAR)
            continue;
        cr_assert(status == BT_OK, "case %zu", k);
        range = zone_least_squares_range(&c);
        width = width_by_programme(&c, 500.0, 300.0, 500.0);
        cr_expect(fabs(zone.vertical - width) <= 1e-9 * range + 1e-12,
                  "case %zu of kind %zu: %.15g, programme %.15g", k, k % KINDS,
                  zone.vertical, width);
        cr_expect(zone.vertical <= range * (1.0 + 1e-14) + 1e-13, "case %zu", k);
        compared++;
    }
    cr_expect(compared >= CASES - CASES / 50, "only %zu cases were not on a line",
              compared);
}

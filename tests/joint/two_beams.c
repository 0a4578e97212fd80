/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "joint/two_beams.h"

#include <criterion/criterion.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <string.h>

enum { NODES = BEAM_STEPS + 1, UNKNOWNS = 4 * NODES };

static void add(gsl_matrix *k, size_t i, size_t j, double value)
{
    gsl_matrix_set(k, i, j, gsl_matrix_get(k, i, j) + value);
}

/* Unknowns of one board: deflection and turn of each node. */
static void stiffness(const struct two_beams *beams, size_t board, gsl_matrix *k)
{
    const struct bt_spring_board *b = &beams->board[board];
    double l = beams->length / BEAM_STEPS, area = b->width * b->thickness;
    double EI = b->E * area * b->width * b->width / 12;
    double phi = 12 * EI / (5.0 / 6 * b->G * area * l * l);
    double c = EI / ((1 + phi) * l * l * l);
    const double element[4][4] = {
        {12, 6 * l, -12, 6 * l},
        {6 * l, (4 + phi) * l * l, -6 * l, (2 - phi) * l * l},
        {-12, -6 * l, 12, -6 * l},
        {6 * l, (2 - phi) * l * l, -6 * l, (4 + phi) * l * l}};

    for (size_t e = 0; e < BEAM_STEPS; e++)
        for (size_t i = 0; i < 4; i++)
            for (size_t j = 0; j < 4; j++)
                add(k, board * 2 * NODES + 2 * e + i, board * 2 * NODES + 2 * e + j,
                    c * element[i][j]);
    /* the ends do not move */
    for (size_t node = 0; node < NODES; node += BEAM_STEPS)
        add(k, board * 2 * NODES + 2 * node, board * 2 * NODES + 2 * node, 1e10 * c);
}

static double hollow_at(const struct two_beams *beams, size_t node)
{
    double t = (double)node / BEAM_STEPS;

    return beams->hollow * 4 * t * (1 - t);
}

/* The boards meet at the m nodes of touch[]; nothing else holds them. */
static void solve(struct two_beams *beams, size_t m, const size_t touch[])
{
    gsl_matrix *k = gsl_matrix_calloc(UNKNOWNS + m, UNKNOWNS + m);
    gsl_vector *f = gsl_vector_calloc(UNKNOWNS + m);
    gsl_vector *u = gsl_vector_calloc(UNKNOWNS + m);
    gsl_permutation *p = gsl_permutation_alloc(UNKNOWNS + m);
    int sign;

    stiffness(beams, 0, k);
    stiffness(beams, 1, k);
    for (size_t board = 0; board < 2; board++) {
        for (size_t node = 0; node < NODES; node++)
            gsl_vector_set(f, board * 2 * NODES + 2 * node, beams->load[node]);
        for (size_t i = 0; i < m; i++) {
            size_t at = board * 2 * NODES + 2 * touch[i];

            gsl_matrix_set(k, at, UNKNOWNS + i, -1);
            gsl_matrix_set(k, UNKNOWNS + i, at, 1);
        }
    }
    for (size_t i = 0; i < m; i++)
        gsl_vector_set(f, UNKNOWNS + i, hollow_at(beams, touch[i]));
    gsl_linalg_LU_decomp(k, p, &sign);
    gsl_linalg_LU_solve(k, p, f, u);
    memset(beams->force, 0, sizeof beams->force);
    for (size_t node = 0; node < NODES; node++)
        beams->gap[node] = hollow_at(beams, node) - gsl_vector_get(u, 2 * node) -
                           gsl_vector_get(u, 2 * NODES + 2 * node);
    for (size_t i = 0; i < m; i++)
        beams->force[touch[i]] = gsl_vector_get(u, UNKNOWNS + i);
    gsl_matrix_free(k);
    gsl_vector_free(f);
    gsl_vector_free(u);
    gsl_permutation_free(p);
}

void two_beams_solve(struct two_beams *beams)
{
    bool touches[NODES];

    memcpy(touches, beams->closed, sizeof touches);
    for (int round = 0; round < 100; round++) {
        size_t touch[NODES], m = 0;
        bool changed = false;

        for (size_t node = 1; node < BEAM_STEPS; node++)
            if (touches[node])
                touch[m++] = node;
        solve(beams, m, touch);
        for (size_t node = 1; node < BEAM_STEPS; node++) {
            bool next = beams->closed[node] ||
                        (touches[node] ? beams->force[node] < 0
                                       : beams->gap[node] < -1e-9 * beams->hollow);

            changed |= next != touches[node];
            touches[node] = next;
        }
        if (!changed)
            return;
    }
    cr_assert_fail("the second opinion does not settle");
}

double two_beams_largest_gap(const struct two_beams *beams)
{
    double largest = 0;

    for (size_t node = 0; node < NODES; node++)
        largest = fmax(largest, beams->gap[node]);
    return largest;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/surface/far_off.h"

#include <math.h>

#include "benchtrue/base/alloc.h"

enum { SAMPLE = 65536 };

/* Standard deviation of a normal distribution over its median absolute deviation. */
static const double mad_to_sigma = 1.4826022185056018;

static void swap(double v[], size_t i, size_t j)
{
    double t = v[i];

    v[i] = v[j];
    v[j] = t;
}

/* The k-th smallest of v[n], k from 0; v is reordered (C. A. R. Hoare, Algorithm 65:
 * Find, 1961, from memory). */
static double select_kth(size_t n, double v[], size_t k)
{
    size_t low = 0, high = n - 1;

    while (low < high) {
        size_t i = low, j = high;
        double pivot = v[low + (high - low) / 2];
        while (i <= j) {
            while (v[i] < pivot)
                i++;
            while (v[j] > pivot)
                j--;
            if (i > j)
                break;
            swap(v, i++, j);
            if (j == 0)
                break;
            j--;
        }
        if (k <= j)
            high = j;
        else if (k >= i)
            low = i;
        else
            break;
    }
    return v[k];
}

static double median(size_t n, double v[])
{
    double upper = select_kth(n, v, n / 2), lower = v[0];

    if (n % 2)
        return upper;
    for (size_t i = 1; i < n / 2; i++) /* all below the upper one stand before it */
        lower = fmax(lower, v[i]);
    return lower / 2 + upper / 2;
}

/* Median and limit, from v[n], which is used up. */
static void measure(size_t n, double v[], double u, struct bt_far_off *out)
{
    double sigma;

    out->middle = median(n, v);
    for (size_t i = 0; i < n; i++)
        v[i] = fabs(v[i] - out->middle);
    sigma = mad_to_sigma * median(n, v);
    out->limit = BT_FAR_OFF_DEVIATIONS * (sigma > u ? sigma : u);
}

enum bt_status bt_far_off_find(size_t n, const double residual[], double u,
                               struct bt_far_off *out)
{
    struct bt_far_off found = {0};
    size_t m = n < SAMPLE ? n : SAMPLE;
    double *sample = bt_alloc(m, sizeof *sample);

    if (!sample)
        return BT_ENOMEM;
    for (size_t i = 0; i < m; i++)
        sample[i] = residual[m < n ? (size_t)((double)i * ((double)n / (double)m)) : i];
    if (m)
        measure(m, sample, u, &found);
    bt_free(sample);
    for (size_t i = 0; i < n; i++) {
        if (fabs(residual[i] - found.middle) <= found.limit)
            continue;
        if (found.n < BT_FAR_OFF_SHOWN)
            found.point[found.n] = i;
        found.n++;
    }
    *out = found;
    return BT_OK;
}

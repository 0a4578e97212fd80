/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes as the name of a wood and as the cut of a board: a wood whose values are
 * above 0 with an uncertainty or not known at all, or a refusal with a message that can
 * be shown.  The input is tried whole and cell by cell. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/utf8.h"
#include "benchtrue/wood/movement.h"
#include "benchtrue/wood/wood.h"
#include "fuzz.h"

static void must(bool holds)
{
    if (!holds)
        abort();
}

static void check_shown(const char *text, size_t room)
{
    size_t bytes = strlen(text), n;
    uint32_t code;

    must(bytes > 0 && bytes < room - 1);
    for (size_t at = 0; at < bytes; at += n) {
        n = bt_utf8_next(text + at, bytes - at, &code);
        must(code >= 0x20 && code != 0x7F && code != BT_UTF8_BAD);
    }
}

static void check_value(const struct bt_wood_value *v)
{
    if (isnan(v->value))
        must(isnan(v->u) && v->source[0] == '\0');
    else
        must(isfinite(v->value) && v->value > 0 && v->u >= 0 && v->source[0]);
}

static void try_species(const char *text, size_t length)
{
    const struct bt_species *found[4] = {NULL};
    size_t n = bt_species_find(text, length, 4, found);
    struct bt_error err = {BT_OK, 0, 0, ""};
    struct bt_wood w;
    enum bt_status status = bt_wood_find(text, length, &w, &err);

    must(n <= bt_species_count() && (n == 0) == (found[0] == NULL));
    must((n == 0) == (status == BT_EINPUT));
    if (status != BT_OK) {
        check_shown(err.message, sizeof err.message);
        return;
    }
    must(w.nspecies == n && (n == 1) == (w.species != NULL));
    check_shown(w.name, sizeof w.name);
    check_value(&w.shrink_radial);
    check_value(&w.shrink_tangential);
    check_value(&w.c_radial);
    check_value(&w.c_tangential);
    check_value(&w.density);
    check_value(&w.e_along);
    check_value(&w.e_tangential);
    check_value(&w.e_radial);
    check_value(&w.g_along);
    check_value(&w.c_perp);
}

static void try_cut(const char *text, size_t length)
{
    struct bt_ring_angle a;

    if (bt_ring_angle_find(text, length, &a))
        must(a.low >= 0 && a.low <= a.angle && a.angle <= a.high && a.high < 1.6);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    /* A block of exactly this size, so that reading past its end is seen. */
    char *text = malloc(size ? size : 1);
    size_t from = 0;

    must(text != NULL);
    if (size)
        memcpy(text, data, size);
    for (size_t at = 0; at <= size; at++) {
        if (at < size && !strchr(",;\t\n=", text[at]))
            continue;
        try_species(text + from, at - from);
        try_cut(text + from, at - from);
        from = at + 1;
    }
    try_species(text, size);
    try_cut(text, size);
    free(text);
    return 0;
}

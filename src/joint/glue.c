/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/joint/glue.h"

#include <math.h>

#include "benchtrue/joint/rules.h"

/* Made from reference/glues.csv by make_glues. */
static const struct bt_glue glues[] = {
#include "glues.inc"
};

size_t bt_glue_count(void)
{
    return sizeof glues / sizeof *glues;
}

const struct bt_glue *bt_glue_at(size_t i)
{
    return i < bt_glue_count() ? &glues[i] : NULL;
}

/* Not tolower, which depends on the locale. */
static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

static int same(const char *name, const char *text, size_t length)
{
    for (size_t i = 0; i < length; i++)
        if (name[i] == '\0' || lower(text[i]) != lower(name[i]))
            return 0;
    return name[length] == '\0';
}

const struct bt_glue *bt_glue_find(const char *name, size_t length)
{
    for (size_t i = 0; i < bt_glue_count(); i++)
        if (same(glues[i].name, name, length))
            return &glues[i];
    return NULL;
}

double bt_glue_time_at(double minutes, double at_C, double temperature_C)
{
    return minutes *
           exp2((at_C - temperature_C) / bt_joint_rule(BT_RULE_GLUE_HALVING)->value);
}

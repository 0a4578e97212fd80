/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/base/quantity.h"

#include <string.h>

#include "base/utf8.h"

#define PI 3.14159265358979323846

/*
 * inside = (value - zero) * times / over.  A quotient of two numbers that a
 * double holds exactly keeps short readings correctly rounded: 12 thou are
 * 0.3048 mm to the last bit.
 *
 * 1 in = 25.4 mm, 1 lb = 0.45359237 kg, g_n = 9.80665 m/s2: exact by definition
 * (NIST SP 811, 2008, Appendix B.8); lbf and psi are their products.
 */
#define LBF 4.4482216152605

struct unit {
    const char *name;
    enum bt_dimension dim;
    double zero, times, over;
};

static const struct unit units[] = {
    [BT_UNIT_NONE] = {"", BT_DIM_NUMBER, 0, 1, 1},
    [BT_UNIT_ONE] = {"", BT_DIM_NUMBER, 0, 1, 1},
    [BT_UNIT_MM] = {"mm", BT_DIM_LENGTH, 0, 1, 1},
    [BT_UNIT_CM] = {"cm", BT_DIM_LENGTH, 0, 10, 1},
    [BT_UNIT_M] = {"m", BT_DIM_LENGTH, 0, 1000, 1},
    [BT_UNIT_UM] = {"um", BT_DIM_LENGTH, 0, 1, 1000},
    [BT_UNIT_IN] = {"in", BT_DIM_LENGTH, 0, 127, 5},
    [BT_UNIT_FT] = {"ft", BT_DIM_LENGTH, 0, 1524, 5},
    [BT_UNIT_THOU] = {"thou", BT_DIM_LENGTH, 0, 127, 5000},
    [BT_UNIT_DEG] = {"deg", BT_DIM_ANGLE, 0, PI, 180},
    [BT_UNIT_RAD] = {"rad", BT_DIM_ANGLE, 0, 1, 1},
    [BT_UNIT_MM_PER_M] = {"mm/m", BT_DIM_SLOPE, 0, 1, 1000},
    [BT_UNIT_PERCENT] = {"%", BT_DIM_PERCENT, 0, 1, 1},
    [BT_UNIT_CELSIUS] = {"C", BT_DIM_TEMPERATURE, 0, 1, 1},
    [BT_UNIT_FAHRENHEIT] = {"F", BT_DIM_TEMPERATURE, 32, 5, 9},
    [BT_UNIT_N] = {"N", BT_DIM_FORCE, 0, 1, 1},
    [BT_UNIT_KN] = {"kN", BT_DIM_FORCE, 0, 1000, 1},
    [BT_UNIT_LBF] = {"lbf", BT_DIM_FORCE, 0, LBF, 1},
    [BT_UNIT_PA] = {"Pa", BT_DIM_PRESSURE, 0, 1, 1e6},
    [BT_UNIT_KPA] = {"kPa", BT_DIM_PRESSURE, 0, 1, 1000},
    [BT_UNIT_MPA] = {"MPa", BT_DIM_PRESSURE, 0, 1, 1},
    [BT_UNIT_PSI] = {"psi", BT_DIM_PRESSURE, 0, LBF, 645.16},
    [BT_UNIT_DAY] = {"d", BT_DIM_TIME, 0, 1, 1},
    [BT_UNIT_HOUR] = {"h", BT_DIM_TIME, 0, 1, 24},
    [BT_UNIT_MINUTE] = {"min", BT_DIM_TIME, 0, 1, 1440},
    [BT_UNIT_KG_PER_M3] = {"kg/m3", BT_DIM_DENSITY, 0, 1, 1},
};
_Static_assert(sizeof units / sizeof units[0] == BT_UNIT_COUNT, "a row for each unit");

/* exact: the case decides (`mPa` is not `MPa`, `f` is no temperature). */
struct word {
    const char *text;
    enum bt_unit unit;
    int exact;
};

/* The usual ones first: a readings file asks once per cell. */
static const struct word words[] = {
    {"mm", BT_UNIT_MM, 0},
    {"in", BT_UNIT_IN, 0},
    {"\"", BT_UNIT_IN, 0},
    {"thou", BT_UNIT_THOU, 0},
    {"\xE2\x80\xB3", BT_UNIT_IN, 0}, /* U+2033 double prime */
    {"\xE2\x80\x9D", BT_UNIT_IN, 0}, /* U+201D, what a phone makes of " */
    {"\xE2\x80\x9C", BT_UNIT_IN, 0}, /* U+201C, closes a quotation in German */
    {"''", BT_UNIT_IN, 0},
    {"\xE2\x80\xB2\xE2\x80\xB2", BT_UNIT_IN, 0},
    {"\xE2\x80\x99\xE2\x80\x99", BT_UNIT_IN, 0},
    {"in.", BT_UNIT_IN, 0},
    {"inch", BT_UNIT_IN, 0},
    {"inches", BT_UNIT_IN, 0},
    {"'", BT_UNIT_FT, 0},
    {"\xE2\x80\xB2", BT_UNIT_FT, 0}, /* U+2032 prime */
    {"\xE2\x80\x99", BT_UNIT_FT, 0}, /* U+2019, what a phone makes of ' */
    {"\xE2\x80\x98", BT_UNIT_FT, 0}, /* U+2018 */
    {"ft", BT_UNIT_FT, 0},
    {"ft.", BT_UNIT_FT, 0},
    {"foot", BT_UNIT_FT, 0},
    {"feet", BT_UNIT_FT, 0},
    {"cm", BT_UNIT_CM, 0},
    {"m", BT_UNIT_M, 1},
    {"um", BT_UNIT_UM, 0},
    {"\xC2\xB5m", BT_UNIT_UM, 0}, /* U+00B5 micro sign */
    {"\xCE\xBCm", BT_UNIT_UM, 0}, /* U+03BC Greek mu */
    {"millimetre", BT_UNIT_MM, 0},
    {"millimetres", BT_UNIT_MM, 0},
    {"millimeter", BT_UNIT_MM, 0},
    {"millimeters", BT_UNIT_MM, 0},
    {"centimetre", BT_UNIT_CM, 0},
    {"centimetres", BT_UNIT_CM, 0},
    {"centimeter", BT_UNIT_CM, 0},
    {"centimeters", BT_UNIT_CM, 0},
    {"metre", BT_UNIT_M, 0},
    {"metres", BT_UNIT_M, 0},
    {"meter", BT_UNIT_M, 0},
    {"meters", BT_UNIT_M, 0},
    {"micron", BT_UNIT_UM, 0},
    {"microns", BT_UNIT_UM, 0},
    {"micrometre", BT_UNIT_UM, 0},
    {"micrometres", BT_UNIT_UM, 0},
    {"micrometer", BT_UNIT_UM, 0},
    {"micrometers", BT_UNIT_UM, 0},
    {"thousandth", BT_UNIT_THOU, 0},
    {"thousandths", BT_UNIT_THOU, 0},
    {"deg", BT_UNIT_DEG, 0},
    {"\xC2\xB0", BT_UNIT_DEG, 0}, /* U+00B0 degree sign */
    {"deg.", BT_UNIT_DEG, 0},
    {"degree", BT_UNIT_DEG, 0},
    {"degrees", BT_UNIT_DEG, 0},
    {"rad", BT_UNIT_RAD, 0},
    {"radian", BT_UNIT_RAD, 0},
    {"radians", BT_UNIT_RAD, 0},
    {"mm/m", BT_UNIT_MM_PER_M, 0},
    {"mm_per_m", BT_UNIT_MM_PER_M, 0},
    {"mm per m", BT_UNIT_MM_PER_M, 0},
    {"%", BT_UNIT_PERCENT, 0},
    {"pct", BT_UNIT_PERCENT, 0},
    {"percent", BT_UNIT_PERCENT, 0},
    {"per cent", BT_UNIT_PERCENT, 0},
    {"C", BT_UNIT_CELSIUS, 1},
    {"\xC2\xB0"
     "C",
     BT_UNIT_CELSIUS, 1},
    {"\xC2\xB0 C", BT_UNIT_CELSIUS, 1},
    {"\xE2\x84\x83", BT_UNIT_CELSIUS, 0}, /* U+2103 degree Celsius */
    {"degC", BT_UNIT_CELSIUS, 0},
    {"deg C", BT_UNIT_CELSIUS, 0},
    {"deg_C", BT_UNIT_CELSIUS, 0},
    {"celsius", BT_UNIT_CELSIUS, 0},
    {"degrees C", BT_UNIT_CELSIUS, 0},
    {"degrees celsius", BT_UNIT_CELSIUS, 0},
    {"F", BT_UNIT_FAHRENHEIT, 1},
    {"\xC2\xB0"
     "F",
     BT_UNIT_FAHRENHEIT, 1},
    {"\xC2\xB0 F", BT_UNIT_FAHRENHEIT, 1},
    {"\xE2\x84\x89", BT_UNIT_FAHRENHEIT, 0}, /* U+2109 degree Fahrenheit */
    {"degF", BT_UNIT_FAHRENHEIT, 0},
    {"deg F", BT_UNIT_FAHRENHEIT, 0},
    {"deg_F", BT_UNIT_FAHRENHEIT, 0},
    {"fahrenheit", BT_UNIT_FAHRENHEIT, 0},
    {"degrees F", BT_UNIT_FAHRENHEIT, 0},
    {"degrees fahrenheit", BT_UNIT_FAHRENHEIT, 0},
    {"N", BT_UNIT_N, 1},
    {"newton", BT_UNIT_N, 0},
    {"newtons", BT_UNIT_N, 0},
    {"kN", BT_UNIT_KN, 0},
    {"kilonewton", BT_UNIT_KN, 0},
    {"kilonewtons", BT_UNIT_KN, 0},
    {"lbf", BT_UNIT_LBF, 0},
    {"Pa", BT_UNIT_PA, 0},
    {"pascal", BT_UNIT_PA, 0},
    {"pascals", BT_UNIT_PA, 0},
    {"kPa", BT_UNIT_KPA, 0},
    {"kilopascal", BT_UNIT_KPA, 0},
    {"kilopascals", BT_UNIT_KPA, 0},
    {"MPa", BT_UNIT_MPA, 1},
    {"megapascal", BT_UNIT_MPA, 0},
    {"megapascals", BT_UNIT_MPA, 0},
    {"N/mm2", BT_UNIT_MPA, 1},
    {"N/mm\xC2\xB2", BT_UNIT_MPA, 1},
    {"N_per_mm2", BT_UNIT_MPA, 1},
    {"psi", BT_UNIT_PSI, 0},
    {"lbf/in2", BT_UNIT_PSI, 0},
    {"lbf/in\xC2\xB2", BT_UNIT_PSI, 0},
    {"d", BT_UNIT_DAY, 0},
    {"day", BT_UNIT_DAY, 0},
    {"days", BT_UNIT_DAY, 0},
    {"h", BT_UNIT_HOUR, 0},
    {"hr", BT_UNIT_HOUR, 0},
    {"hrs", BT_UNIT_HOUR, 0},
    {"hour", BT_UNIT_HOUR, 0},
    {"hours", BT_UNIT_HOUR, 0},
    {"min", BT_UNIT_MINUTE, 0},
    {"minute", BT_UNIT_MINUTE, 0},
    {"minutes", BT_UNIT_MINUTE, 0},
    {"kg/m3", BT_UNIT_KG_PER_M3, 0},
    {"kg/m\xC2\xB3", BT_UNIT_KG_PER_M3, 0},
    {"kg_per_m3", BT_UNIT_KG_PER_M3, 0},
};

enum { WORD_MAX = 24 };

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

static int same(const char *a, const struct word *w)
{
    const char *b = w->text;

    if (w->exact)
        return strcmp(a, b) == 0;
    for (; *a && lower(*a) == lower(*b); a++, b++)
        continue;
    return *a == *b;
}

/* The word with one space for each run of blanks; false where it is too long
 * to be a unit. */
static int tidy(char out[WORD_MAX], const char *text, size_t length)
{
    size_t at = 0, to = 0, n;

    while (at < length) {
        if (to == WORD_MAX - 1 || text[at] == '\0')
            return 0;
        n = bt_blank(text + at, length - at);
        if (n == 0)
            out[to++] = text[at++];
        else if (out[to - 1] != ' ') /* trimmed: a blank is never first */
            out[to++] = ' ';
        at += n;
    }
    out[to] = '\0';
    return to > 0;
}

enum bt_unit bt_unit_find(const char *word, size_t length)
{
    char text[WORD_MAX];
    size_t i;

    if (!word)
        return BT_UNIT_NONE;
    bt_trim(&word, &length);
    if (!tidy(text, word, length))
        return BT_UNIT_NONE;
    for (i = 0; i < sizeof words / sizeof words[0]; i++)
        if (same(text, &words[i]))
            return words[i].unit;
    return BT_UNIT_NONE;
}

static const struct unit *row(enum bt_unit unit)
{
    return &units[(int)unit < 0 || unit >= BT_UNIT_COUNT ? BT_UNIT_NONE : unit];
}

const char *bt_unit_name(enum bt_unit unit)
{
    return row(unit)->name;
}

enum bt_dimension bt_unit_dimension(enum bt_unit unit)
{
    return row(unit)->dim;
}

double bt_unit_to_inside(double value, enum bt_unit unit)
{
    const struct unit *u = row(unit);

    return (value - u->zero) * u->times / u->over;
}

double bt_unit_from_inside(double value, enum bt_unit unit)
{
    const struct unit *u = row(unit);

    return value * u->over / u->times + u->zero;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/options.h"

#include <stdint.h>
#include <string.h>
#include <unistd.h>

#include "app/say.h"
#include "app/verbs.h"
#include "benchtrue/base/alloc.h"
#include "benchtrue/base/nearest.h"

enum option_id {
    OPTION_SET,
    OPTION_ALL,
    OPTION_JSON,
    OPTION_DETAILS,
    OPTION_SPAN,
    OPTION_DIRECTION,
    OPTION_PATTERN,
    OPTION_FIGURE,
    OPTION_FIGURE_LINES,
    OPTION_UNITS,
    OPTION_WITHOUT,
    OPTION_LENGTH,
    OPTION_WIDTH,
    OPTION_THICKNESS,
    OPTION_USE,
    OPTION_DRAWS,
    OPTION_SEED,
    OPTION_SINCE,
    OPTION_SHARE,
    OPTION_AIM,
    OPTION_AFRESH,
    OPTION_EDGE,
    OPTION_FEET,
    OPTION_CSV,
    OPTION_OUTPUT,
    OPTION_OF,
    OPTION_OUTLINE,
    OPTION_PAPER
};

struct option_rule {
    enum option_id id;
    const char *name;
    const char *value; /* what follows it; NULL where nothing does */
    unsigned verbs;
    const char *text;
};

static const struct option_rule rules[] = {
    {OPTION_SET, "--set", "NAME", FLATNESS | DECIDE, "report the set of that name"},
    {OPTION_ALL, "--all", NULL, FLATNESS, "report every set"},
    {OPTION_PATTERN, "--pattern", "NAME", EDGES | GLUEUP,
     "same face, alternate boards, in and out or best, whatever the job says"},
    {OPTION_JSON, "--json", NULL, ANSWERS, "print one JSON object, for programs"},
    {OPTION_DETAILS, "--details", NULL, ANSWERS,
     "add sigma0, rank, degrees of freedom and more"},
    {OPTION_FIGURE, "--figure", "FILE",
     FLATNESS | EDGES | GLUEUP | MEASURE | TREND | DECIDE | STOCK | MOVEMENT | LAYOUT |
         OPENING,
     "draw it into FILE, whose name ends in .svg, .pdf or .png"},
    {OPTION_FIGURE_LINES, "--figure-lines", "FILE", FLATNESS,
     "draw the lines under the straightedge, likewise"},
    {OPTION_SPAN, "--span", "LENGTH", FLATNESS,
     "lay on a straightedge of that length; may be repeated"},
    {OPTION_DIRECTION, "--direction", "ANGLE", FLATNESS,
     "lay it on at that angle to the grain, too; may be given twice"},
    {OPTION_DRAWS, "--draws", "N", FLATNESS | EDGES,
     "draw the noise that often for range, zone and gaps; 2000 is usual (edges: the "
     "errors of the edges; 10000)"},
    {OPTION_SEED, "--seed", "N", FLATNESS | EDGES,
     "a whole number that chooses other draws; 0 is usual"},
    {OPTION_WITHOUT, "--without", "FILE:LINE", FLATNESS,
     "leave out the reading on that line; may be repeated"},
    {OPTION_LENGTH, "--length", "L", FLATNESS | NEW,
     "length along the grain (flatness: for a bare file)"},
    {OPTION_WIDTH, "--width", "W", FLATNESS | NEW,
     "width across the grain (flatness: for a bare file)"},
    {OPTION_THICKNESS, "--thickness", "T", NEW, "thickness"},
    {OPTION_USE, "--use", "BAND", FLATNESS | NEW,
     "limits of a use, as table top (flatness: for a bare file)"},
    {OPTION_UNITS, "--units", "in|mm", ANSWERS | NEW | REPORT,
     "inches or millimetres, whatever the job says"},
    {OPTION_SINCE, "--since", "DATE", TREND, "leave out the sets before that day"},
    {OPTION_SHARE, "--share", "PERCENT", TREND,
     "how much of its limit a figure may change before it matters: 25 %"},
    {OPTION_AIM, "--aim", "FIGURE=U", MEASURE,
     "the uncertainty wanted, as cup=0.1mm,twist=0.2mm; else from the limits"},
    {OPTION_AFRESH, "--afresh", NULL, MEASURE | SHEET,
     "plan as if nothing had been read"},
    {OPTION_EDGE, "--edge", "LENGTH", MEASURE,
     "how long the straightedge is; else long enough for the panel"},
    {OPTION_FEET, "--feet", "LENGTH", MEASURE,
     "how far apart the feet of the bar stand; else 300 mm or 12 in"},
    {OPTION_CSV, "--csv", "FILE", MEASURE,
     "write rows to fill in; several kinds of reading, several files"},
    {OPTION_OUTPUT, "-o", "FILE", SHEET | REPORT,
     "the file to write, which ends in .pdf (report: or .html)"},
    {OPTION_OF, "--of", "SHEET", SHEET,
     "readings, fence, dryfit or opening alone; may be repeated"},
    {OPTION_PAPER, "--paper", "a4|letter", SHEET | REPORT,
     "what it is printed on; a4 is usual"},
    {OPTION_OUTLINE, "--outline", "FILE.pdf", OPENING,
     "write the piece's outline at full size, to print and lay on"},
    {OPTION_PAPER, "--paper", "one|a4|letter", OPENING,
     "the outline on one sheet as large as the piece, or on sheets to be joined; "
     "[opening] page is usual"},
};
enum { RULES = sizeof rules / sizeof *rules };
_Static_assert(OPTION_PAPER < 32, "`seen` has a bit for each option");

void options_init(struct options *options)
{
    memset(options, 0, sizeof *options);
    options->pattern = BT_PATTERNS;
}

void options_clear(struct options *options)
{
    bt_free(options->without);
    options_init(options);
}

/* The argv of one run, and how far it is read. */
struct words {
    int n, next;
    char **word;
};

static enum exit_code refuse_option(const char *name, size_t length,
                                    const struct verb *verb)
{
    const char *names[RULES], *nearest;
    size_t n = 0;

    for (size_t i = 0; i < RULES; i++) {
        if (strlen(rules[i].name) == length && memcmp(rules[i].name, name, length) == 0)
            return say(EXIT_USAGE,
                       "'%s' is no option of %s; benchtrue help %s lists its options",
                       rules[i].name, verb->name, verb->name);
        if (rules[i].verbs & verb->bit)
            names[n++] = rules[i].name;
    }
    nearest = bt_nearest(name, length, n, names);
    if (nearest)
        return say(EXIT_USAGE, "unknown option: '%.*s', did you mean %s?", (int)length,
                   name, nearest);
    return say(EXIT_USAGE,
               "unknown option: '%.*s'; benchtrue help %s lists what there is",
               (int)length, name, verb->name);
}

static const struct option_rule *rule_find(const char *name, size_t length,
                                           const struct verb *verb)
{
    for (size_t i = 0; i < RULES; i++)
        if ((rules[i].verbs & verb->bit) && strlen(rules[i].name) == length &&
            memcmp(rules[i].name, name, length) == 0)
            return &rules[i];
    return NULL;
}

/* The whole number at text, 0 where there is none. */
static size_t line_number(const char *text)
{
    size_t n = 0;

    for (; *text >= '0' && *text <= '9' && n < SIZE_MAX / 20; text++)
        n = 10 * n + (size_t)(*text - '0');
    return *text ? 0 : n;
}

/* The text in argv is cut at its colon, so that the name needs no copy. */
static enum exit_code add_without(struct options *options, char *value)
{
    char *colon = strrchr(value, ':');
    size_t line = colon ? line_number(colon + 1) : 0;
    size_t room = options->nwithout;
    struct bt_without *grown;

    if (line == 0 || colon == value)
        return say(EXIT_USAGE,
                   "--without needs FILE:LINE, as readings.csv:12, not '%s'", value);
    grown = bt_grow(options->without, &room, options->nwithout + 1, sizeof *grown);
    if (!grown)
        return say_error(BT_ENOMEM, bt_status_text(BT_ENOMEM));
    options->without = grown;
    *colon = '\0';
    grown[options->nwithout++] = (struct bt_without){value, line, false};
    return EXIT_DONE;
}

static enum exit_code add_span(struct options *options, const char *value)
{
    if (options->nspan == BT_SPANS_MAX)
        return say(EXIT_USAGE, "--span: at most %d lengths", (int)BT_SPANS_MAX);
    options->span[options->nspan++] = value;
    return EXIT_DONE;
}

static enum exit_code add_direction(struct options *options, const char *value)
{
    if (options->ndirection == BT_OBLIQUES_MAX)
        return say(EXIT_USAGE, "--direction: at most %d angles", (int)BT_OBLIQUES_MAX);
    options->direction[options->ndirection++] = value;
    return EXIT_DONE;
}

static enum exit_code add_sheet(struct options *options, const char *value)
{
    if (options->nof == BT_SHEET_KINDS)
        return say(EXIT_USAGE, "--of: at most %d sheets", (int)BT_SHEET_KINDS);
    options->of[options->nof++] = value;
    return EXIT_DONE;
}

/* A whole number, digits and nothing else; false where it is none or too large. */
static bool whole_number(const char *text, uint64_t *out)
{
    uint64_t n = 0;

    if (!*text)
        return false;
    for (; *text; text++) {
        const uint64_t digit = (uint64_t)(*text - '0');

        if (*text < '0' || *text > '9' || n > (UINT64_MAX - digit) / 10)
            return false;
        n = 10 * n + digit;
    }
    *out = n;
    return true;
}

static enum exit_code set_draws(struct options *options, const char *value)
{
    uint64_t n;

    if (!whole_number(value, &n) || n < BT_DRAWS_LEAST || n > BT_DRAWS_MOST)
        return say(EXIT_USAGE, "--draws is a whole number from %d to %d, not '%s'",
                   (int)BT_DRAWS_LEAST, (int)BT_DRAWS_MOST, value);
    options->draws = (size_t)n;
    return EXIT_DONE;
}

static enum exit_code set_seed(struct options *options, const char *value)
{
    if (!whole_number(value, &options->seed))
        return say(EXIT_USAGE,
                   "--seed is a whole number from 0 to 18446744073709551615, not '%s'",
                   value);
    return EXIT_DONE;
}

static enum exit_code set_units(struct options *options, const char *value)
{
    bool mm = strcmp(value, "mm") == 0;

    if (!mm && strcmp(value, "in") != 0)
        return say(EXIT_USAGE, "--units is in or mm, not '%s'", value);
    options->system_typed = true;
    options->system = mm ? BT_SYSTEM_MM : BT_SYSTEM_IN;
    return EXIT_DONE;
}

static enum exit_code set_pattern(struct options *options, const char *value)
{
    for (int i = 0; i < BT_PATTERNS; i++) {
        if (strcmp(value, bt_pattern_name((enum bt_pattern)i)) != 0)
            continue;
        options->pattern = (enum bt_pattern)i;
        return EXIT_DONE;
    }
    return say(EXIT_USAGE,
               "--pattern is one of 'same face', 'alternate boards', 'in and out', "
               "'best', not '%s'",
               value);
}

static enum exit_code take(struct options *options, enum option_id id, char *value)
{
    switch (id) {
    case OPTION_SET:
        options->set = value;
        break;
    case OPTION_ALL:
        options->all = true;
        break;
    case OPTION_JSON:
        options->json = true;
        break;
    case OPTION_DETAILS:
        options->details = true;
        break;
    case OPTION_SPAN:
        return add_span(options, value);
    case OPTION_DIRECTION:
        return add_direction(options, value);
    case OPTION_PATTERN:
        return set_pattern(options, value);
    case OPTION_FIGURE:
        options->figure = value;
        break;
    case OPTION_FIGURE_LINES:
        options->figure_lines = value;
        break;
    case OPTION_UNITS:
        return set_units(options, value);
    case OPTION_WITHOUT:
        return add_without(options, value);
    case OPTION_DRAWS:
        return set_draws(options, value);
    case OPTION_SEED:
        return set_seed(options, value);
    case OPTION_LENGTH:
        options->length = value;
        break;
    case OPTION_WIDTH:
        options->width = value;
        break;
    case OPTION_THICKNESS:
        options->thickness = value;
        break;
    case OPTION_USE:
        options->use = value;
        break;
    case OPTION_SINCE:
        options->since = value;
        break;
    case OPTION_SHARE:
        options->share = value;
        break;
    case OPTION_AIM:
        options->aim = value;
        break;
    case OPTION_AFRESH:
        options->afresh = true;
        break;
    case OPTION_EDGE:
        options->edge = value;
        break;
    case OPTION_FEET:
        options->feet = value;
        break;
    case OPTION_CSV:
        options->csv = value;
        break;
    case OPTION_OUTPUT:
        options->output = value;
        break;
    case OPTION_OF:
        return add_sheet(options, value);
    case OPTION_OUTLINE:
        options->outline = value;
        break;
    case OPTION_PAPER:
        options->paper = value;
        break;
    }
    return EXIT_DONE;
}

/* One option, `--name`, `--name value` or `--name=value`. */
static enum exit_code read_option(struct words *words, struct options *options,
                                  unsigned *seen)
{
    char *word = words->word[words->next++], *equals = strchr(word, '=');
    size_t length = equals ? (size_t)(equals - word) : strlen(word);
    const struct option_rule *rule = rule_find(word, length, options->verb);
    char *value = equals ? equals + 1 : NULL;

    if (!rule)
        return refuse_option(word, length, options->verb);
    if (!rule->value && value)
        return say(EXIT_USAGE, "%s takes no value", rule->name);
    if (rule->value && !value && words->next < words->n)
        value = words->word[words->next++];
    if (rule->value && (!value || !*value))
        return say(EXIT_USAGE, "%s needs a value: %s %s", rule->name, rule->name,
                   rule->value);
    if ((*seen & 1u << rule->id) && rule->id != OPTION_WITHOUT &&
        rule->id != OPTION_SPAN && rule->id != OPTION_DIRECTION &&
        rule->id != OPTION_OF)
        return say(EXIT_USAGE, "%s is given twice", rule->name);
    *seen |= 1u << rule->id;
    return take(options, rule->id, value);
}

static enum exit_code take_argument(struct options *options, const char *word)
{
    if (options->argument)
        return say(
            EXIT_USAGE,
            "%s takes one %s: '%s' is one too many (what holds a blank stands in "
            "quotes, as '61 1/2 in')",
            options->verb->name, options->verb->argument, word);
    if (!*word)
        return say(EXIT_USAGE, "%s needs a name, not an empty text",
                   options->verb->name);
    options->argument = word;
    return EXIT_DONE;
}

static enum exit_code read_rest(struct words *words, struct options *options)
{
    bool only_arguments = false;
    unsigned seen = 0;

    while (words->next < words->n) {
        const char *word = words->word[words->next];
        enum exit_code code;

        if (only_arguments || word[0] != '-' || !word[1]) {
            words->next++;
            code = take_argument(options, word);
        } else if (strcmp(word, "--") == 0) {
            words->next++;
            only_arguments = true;
            continue;
        } else if (strcmp(word, "--help") == 0 || strcmp(word, "-h") == 0) {
            options->argument = options->verb->name;
            options->verb = verb_find("help");
            return EXIT_DONE;
        } else {
            code = read_option(words, options, &seen);
        }
        if (code != EXIT_DONE)
            return code;
    }
    /* inside a job folder the job goes without saying */
    if (options->verb->bit & IN_FOLDER && !options->argument &&
        access("job.ini", F_OK) == 0)
        options->argument = ".";
    if (options->verb->needs_argument && !options->argument)
        return say(EXIT_USAGE, "%s needs a %s; benchtrue help %s says more",
                   options->verb->name, options->verb->argument, options->verb->name);
    if (options->set && options->all)
        return say(EXIT_USAGE, "--set and --all exclude each other");
    if (options->all && (options->figure || options->figure_lines))
        return say(EXIT_USAGE,
                   "a figure shows one set: leave out --all, or name the set with "
                   "--set");
    return EXIT_DONE;
}

static enum exit_code refuse_verb(const char *word)
{
    const char *nearest = verb_nearest(word);

    if (nearest)
        return say(EXIT_USAGE, "unknown verb: '%s', did you mean %s?", word, nearest);
    return say(EXIT_USAGE, "unknown verb: '%s'; benchtrue help lists what there is",
               word);
}

enum exit_code options_read(int argc, char *argv[], struct options *options,
                            bool *version_asked)
{
    struct words words = {argc, 2, argv};

    *version_asked = false;
    if (argc < 2)
        return say(EXIT_USAGE, "what shall I do? benchtrue help lists what there is");
    if (strcmp(argv[1], "--version") == 0) {
        *version_asked = true;
        if (argc > 2)
            return say(EXIT_USAGE, "--version stands alone");
        return EXIT_DONE;
    }
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0)
        options->verb = verb_find("help");
    else
        options->verb = verb_find(argv[1]);
    if (!options->verb)
        return refuse_verb(argv[1]);
    return read_rest(&words, options);
}

bool options_at(const struct verb *verb, size_t i, struct option_words *words)
{
    for (size_t k = 0; k < RULES; k++) {
        if (!(rules[k].verbs & verb->bit) || i-- > 0)
            continue;
        *words = (struct option_words){rules[k].name, rules[k].value, rules[k].text};
        return true;
    }
    return false;
}

void options_usage(struct bt_buffer *out, const struct verb *verb)
{
    struct option_words option;

    bt_buffer_format(out, "benchtrue %s %s", verb->name, verb->argument);
    for (size_t i = 0; options_at(verb, i, &option); i++)
        bt_buffer_format(out, " [%s%s%s]", option.name, option.value ? " " : "",
                         option.value ? option.value : "");
    bt_buffer_text(out, "\n");
}

void options_describe(struct bt_buffer *out, const struct verb *verb)
{
    struct option_words option;

    for (size_t i = 0; options_at(verb, i, &option); i++) {
        bt_buffer_text(out, i ? "" : "\nOptions\n");
        bt_buffer_format(out, "  %s %s", option.name, option.value ? option.value : "");
        bt_buffer_column(out, 25);
        bt_buffer_format(out, "%s\n", option.text);
    }
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "app/options.h"
#include "app/say.h"

static void add_overview(struct bt_buffer *out)
{
    bt_buffer_text(out, "benchtrue: is a glued panel flat, and how sure is that\n\n");
    for (size_t i = 0; i < verb_count; i++) {
        bt_buffer_format(out, "  benchtrue %s %s", verbs[i].name, verbs[i].argument);
        bt_buffer_column(out, 28);
        bt_buffer_format(out, "%s\n", verbs[i].summary);
    }
    bt_buffer_text(out, "  benchtrue --version\n\n"
                        "benchtrue help VERB shows the options of a verb, an example "
                        "and its exit statuses.\n");
}

enum { STATUS_COLUMN = 6, LINE_ENDS = 79 };

/* The number, and beside it the words, as many to a line as fit. */
static void add_status(struct bt_buffer *out, const struct verb_status *status)
{
    const char *word = status->text;
    size_t column = STATUS_COLUMN;

    bt_buffer_format(out, "  %d", (int)status->code);
    bt_buffer_column(out, STATUS_COLUMN);
    while (*word) {
        const size_t length = strcspn(word, " ");

        if (word != status->text && column + 1 + length > LINE_ENDS) {
            bt_buffer_text(out, "\n");
            bt_buffer_column(out, STATUS_COLUMN);
            column = STATUS_COLUMN;
        } else if (word != status->text) {
            bt_buffer_text(out, " ");
            column++;
        }
        bt_buffer_format(out, "%.*s", (int)length, word);
        column += length;
        word += length + strspn(word + length, " ");
    }
    bt_buffer_text(out, "\n");
}

static void add_verb(struct bt_buffer *out, const struct verb *verb)
{
    bt_buffer_format(out, "%s: %s\n\n  ", verb->name, verb->summary);
    options_usage(out, verb);
    if (*verb->text)
        bt_buffer_format(out, "\n%s", verb->text);
    options_describe(out, verb);
    bt_buffer_format(out, "\nExample\n  %s\n\nExit status\n", verb->example);
    for (const struct verb_status *s = verb->statuses; s->text; s++)
        add_status(out, s);
}

enum exit_code run_help(struct options *options)
{
    struct bt_buffer out = {0};
    enum exit_code code;

    if (!options->argument) {
        add_overview(&out);
    } else {
        const struct verb *verb = verb_find(options->argument);
        const char *nearest = verb_nearest(options->argument);

        if (!verb && nearest)
            return say(EXIT_USAGE, "unknown verb: '%s', did you mean %s?",
                       options->argument, nearest);
        if (!verb)
            return say(EXIT_USAGE,
                       "unknown verb: '%s'; benchtrue help lists what there "
                       "is",
                       options->argument);
        add_verb(&out, verb);
    }
    code = print_result(&out, EXIT_DONE);
    bt_buffer_clear(&out);
    return code;
}

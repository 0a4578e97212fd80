/* SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Run while the program is built: make_man FOLDER writes benchtrue.1 and one page for
 * each verb into FOLDER, from the tables of verbs and options that drive the command
 * line and `help`, so that the pages cannot say anything else.  Written with the
 * classic man macros, see groff_man(7).  Exit statuses as the program's own.
 */
#include <stdlib.h>
#include <string.h>

#include "app/options.h"
#include "app/say.h"
#include "benchtrue/report/save.h"

/* What a number means whichever verb ends with it. */
static const struct verb_status statuses[] = {
    {EXIT_DONE, "done; no limit is stated, or every one is kept"},
    {EXIT_OVER, "a limit is over, or something is to be done"},
    {EXIT_OPEN, "it is too close to call, or cannot be seen from what was read"},
    {EXIT_USAGE, "the command line is wrong"},
    {EXIT_DATA, "a file holds a fault; every one is listed with file, line and column"},
    {EXIT_NOINPUT, "a file does not exist or may not be read"},
    {EXIT_SOFTWARE, "no memory, or a fault of this program"},
    {EXIT_CANTCREAT, "an output cannot be created"},
    {EXIT_IOERR, "reading or writing failed"},
    {EXIT_DONE, NULL}};

/* A letter as roff takes it: nothing begins a request or an escape, and what is typed
 * can be copied from the page. */
static void add_letter(struct bt_buffer *out, char letter, bool literal)
{
    switch (letter) {
    case '\\':
        bt_buffer_text(out, "\\e");
        break;
    case '\'':
        bt_buffer_text(out, "\\(aq");
        break;
    case '`':
        bt_buffer_text(out, "\\(ga");
        break;
    case '^':
        bt_buffer_text(out, "\\(ha");
        break;
    case '~':
        bt_buffer_text(out, "\\(ti");
        break;
    case '-':
        bt_buffer_text(out, literal ? "\\-" : "-");
        break;
    default:
        bt_buffer_add(out, &letter, 1);
    }
}

/* Is the `-` at p part of an option's name, as in `--set`, and no hyphen? */
static bool begins_option(const char *text, const char *p)
{
    return p[1] == '-' || (p > text && p[-1] == '-');
}

/* Words as they are typed. */
static void add_literal(struct bt_buffer *out, const char *text)
{
    for (; *text; text++)
        add_letter(out, *text, true);
}

/* Running text; a sentence that ends within a line ends it, as roff wants. */
static void add_prose(struct bt_buffer *out, const char *text)
{
    for (const char *p = text; *p; p++) {
        if (p[0] == ' ' && p > text && p[1] == ' ') {
            bt_buffer_text(out, "\n");
            p += strspn(p, " ") - 1;
            continue;
        }
        if ((p == text || p[-1] == '\n' || p[-1] == ' ') && (*p == '.' || *p == '\''))
            bt_buffer_text(out, "\\&");
        add_letter(out, *p, begins_option(text, p));
    }
    bt_buffer_text(out, *text && text[strlen(text) - 1] == '\n' ? "" : "\n");
}

static void add_font(struct bt_buffer *out, char font, const char *text)
{
    bt_buffer_format(out, "\\f%c", font);
    add_literal(out, text);
    bt_buffer_text(out, "\\fR");
}

/* `benchtrue` or `benchtrue-flatness`. */
static void add_name(struct bt_buffer *out, const struct verb *verb)
{
    add_literal(out, "benchtrue");
    if (!verb)
        return;
    add_literal(out, "-");
    add_literal(out, verb->name);
}

static void add_head(struct bt_buffer *out, const struct verb *verb,
                     const char *summary)
{
    bt_buffer_text(out, ".TH \"");
    for (const char *p = verb ? "BENCHTRUE-" : "BENCHTRUE"; *p; p++)
        add_letter(out, *p, true);
    for (const char *p = verb ? verb->name : ""; *p; p++)
        add_letter(out, *p >= 'a' && *p <= 'z' ? (char)(*p - 'a' + 'A') : *p, true);
    bt_buffer_text(out, "\" 1 \"" BT_DATE "\" \"benchtrue " BT_VERSION
                        "\" \"User commands\"\n.SH NAME\n");
    add_name(out, verb);
    bt_buffer_text(out, " \\- ");
    add_prose(out, summary);
}

/* `benchtrue flatness JOB`, the verb bold, what is filled in slanted. */
static void add_call(struct bt_buffer *out, const struct verb *verb)
{
    add_font(out, 'B', "benchtrue");
    bt_buffer_text(out, " ");
    add_font(out, 'B', verb->name);
    bt_buffer_text(out, " ");
    add_font(out, 'I', verb->argument);
}

static void add_option(struct bt_buffer *out, const struct option_words *option)
{
    add_font(out, 'B', option->name);
    if (!option->value)
        return;
    bt_buffer_text(out, "\\ ");
    add_font(out, 'I', option->value);
}

static void add_statuses(struct bt_buffer *out, const struct verb_status *status)
{
    bt_buffer_text(out, ".SH EXIT STATUS\n");
    for (; status->text; status++) {
        bt_buffer_format(out, ".TP\n%d\n", (int)status->code);
        add_prose(out, status->text);
    }
}

/* The general page and those of all verbs but this one. */
static void add_see_also(struct bt_buffer *out, const struct verb *self)
{
    bool first = true;

    bt_buffer_text(out, ".SH SEE ALSO\n");
    if (self) {
        bt_buffer_text(out, "\\fBbenchtrue\\fR(1)");
        first = false;
    }
    for (size_t i = 0; i < verb_count; i++) {
        if (&verbs[i] == self)
            continue;
        bt_buffer_text(out, first ? "\\fB" : ",\n\\fB");
        add_name(out, &verbs[i]);
        bt_buffer_text(out, "\\fR(1)");
        first = false;
    }
    bt_buffer_text(out, "\n");
}

static void add_verb_page(struct bt_buffer *out, const struct verb *verb)
{
    struct option_words option;

    add_head(out, verb, verb->summary);
    bt_buffer_text(out, ".SH SYNOPSIS\n");
    add_call(out, verb);
    for (size_t i = 0; options_at(verb, i, &option); i++) {
        bt_buffer_text(out, "\n[");
        add_option(out, &option);
        bt_buffer_text(out, "]");
    }
    bt_buffer_text(out, "\n.SH DESCRIPTION\n");
    add_prose(out, *verb->text ? verb->text : verb->summary);
    for (size_t i = 0; options_at(verb, i, &option); i++) {
        bt_buffer_text(out, i ? ".TP\n" : ".SH OPTIONS\n.TP\n");
        add_option(out, &option);
        bt_buffer_text(out, "\n");
        add_prose(out, option.text);
    }
    bt_buffer_text(out, ".SH EXAMPLES\n.EX\n");
    add_literal(out, verb->example);
    bt_buffer_text(out, "\n.EE\n");
    add_statuses(out, verb->statuses);
    add_see_also(out, verb);
}

static const char description[] =
    "Reads a job, a folder of plain text files that a maker writes: what is being "
    "made,\n"
    "to which limits, and readings taken at the bench with straightedge and feelers,\n"
    "dial, level or winding sticks.  Answers one question a verb.  The first line of "
    "an\n"
    "answer is the verdict and what to do next; the figures follow, each with its\n"
    "uncertainty.  What the readings cannot show is said, with what to read so that\n"
    "they would.\n";

static const char caution[] =
    "benchtrue advises; it does not stand at the machine.  Its manual, its guards and\n"
    "your local codes come first.\n";

static void add_verbs(struct bt_buffer *out)
{
    bt_buffer_text(out, ".SH VERBS\n");
    for (size_t i = 0; i < verb_count; i++) {
        bt_buffer_text(out, ".TP\n");
        add_call(out, &verbs[i]);
        bt_buffer_text(out, "\n");
        add_prose(out, verbs[i].summary);
    }
    bt_buffer_text(out, ".PP\nEach has a page of its own, as ");
    bt_buffer_text(out, "\\fBbenchtrue\\-flatness\\fR(1); ");
    bt_buffer_text(out, "\\fBbenchtrue help\\fR \\fIVERB\\fR shows the same.\n");
}

static void add_general_page(struct bt_buffer *out)
{
    add_head(out, NULL, BT_DESCRIPTION);
    bt_buffer_text(out, ".SH SYNOPSIS\n\\fBbenchtrue\\fR \\fIVERB\\fR [\\fIJOB\\fR] "
                        "[\\fIoption\\fR ...]\n.br\n\\fBbenchtrue \\-\\-version\\fR\n"
                        ".SH DESCRIPTION\n");
    add_prose(out, description);
    bt_buffer_text(out, ".PP\n");
    add_prose(out, caution);
    add_verbs(out);
    add_statuses(out, statuses);
    bt_buffer_text(out, ".SH ENVIRONMENT\n.TP\n.B NO_COLOR\n");
    add_prose(out, "where it is set and not empty, nothing is coloured");
    bt_buffer_text(out, ".TP\n.B TERM\n");
    add_prose(out, "dumb: no colour, and no line of progress");
    bt_buffer_text(out, ".SH FILES\n.TP\n.I job.ini\n");
    add_prose(out, "what is being made, with what, to which limits; names the files of "
                   "readings beside it");
    bt_buffer_text(out, ".TP\n.I " BT_DOC_DIR "\n");
    add_prose(out, "under the folder that benchtrue is installed in, as /usr: "
                   "docs/files.md there describes every file, key and column, "
                   "docs/json.md what --json prints, docs/methods.md how the figures "
                   "are computed");
    bt_buffer_text(out, ".TP\n.I " BT_SAMPLE_DIR "\n");
    add_prose(out, "likewise: sample jobs, to copy and to try the verbs on");
    add_see_also(out, NULL);
}

/* One page, NULL for the general one. */
static enum exit_code write_page(const char *folder, const struct verb *verb)
{
    struct bt_buffer page = {0}, path = {0};
    struct bt_error err;
    enum bt_status status;

    bt_buffer_format(&path, "%s/benchtrue%s%s.1", folder, verb ? "-" : "",
                     verb ? verb->name : "");
    bt_buffer_text(&page, ".\\\" Made from the tables of the program; not to be "
                          "edited.\n");
    if (verb)
        add_verb_page(&page, verb);
    else
        add_general_page(&page);
    status = bt_buffer_status(&page);
    if (status == BT_OK)
        status = bt_buffer_status(&path);
    if (status != BT_OK)
        bt_error_set(&err, status, 0, 0, "%s", bt_status_text(status));
    else
        status = bt_save_file(path.text, page.text, page.length, &err);
    bt_buffer_clear(&page);
    bt_buffer_clear(&path);
    return status == BT_OK ? EXIT_DONE : say_error(status, err.message);
}

int main(int argc, char *argv[])
{
    enum exit_code code;

    if (argc != 2)
        return (int)say(EXIT_USAGE, "usage: make_man FOLDER");
    code = write_page(argv[1], NULL);
    for (size_t i = 0; i < verb_count && code == EXIT_DONE; i++)
        code = write_page(argv[1], &verbs[i]);
    return (int)code;
}

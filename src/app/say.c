/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/say.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/report/save.h"

enum { FAULTS_SHOWN = 20 };

enum exit_code exit_for(enum bt_status status)
{
    switch (status) {
    case BT_OK:
        return EXIT_DONE;
    case BT_EINPUT:
    case BT_ESINGULAR:
        return EXIT_DATA;
    case BT_ENOFILE:
        return EXIT_NOINPUT;
    case BT_ECREATE:
        return EXIT_CANTCREAT;
    case BT_EREAD:
    case BT_EWRITE:
        return EXIT_IOERR;
    case BT_ECALL:
    case BT_ENOMEM:
    case BT_STATUS_COUNT:
        break;
    }
    return EXIT_SOFTWARE;
}

enum exit_code say(enum exit_code code, const char *format, ...)
{
    char message[1024] = "benchtrue: ";
    size_t start = strlen(message), length;
    va_list args;

    va_start(args, format);
    vsnprintf(message + start, sizeof message - start - 1, format, args);
    va_end(args);
    length = strlen(message);
    for (size_t i = 0; i < length; i++)
        if ((unsigned char)message[i] < 0x20 || message[i] == 0x7f)
            message[i] = '?';
    message[length++] = '\n';
    /* Nobody is left to be told where stderr itself fails. */
    bt_save_to(STDERR_FILENO, message, length, NULL);
    return code;
}

enum exit_code say_error(enum bt_status status, const char *message)
{
    return say(exit_for(status), "%s", message);
}

/* How many faults of one file were met. */
struct tally {
    const char *file;
    size_t n;
};

struct tallies {
    size_t n, room;
    struct tally *item;
};

/* The tally of a file, a new one for a new file; NULL when there is no memory. */
static struct tally *tally_of(struct tallies *tallies, const char *file)
{
    struct tally *grown;

    for (size_t i = tallies->n; i > 0; i--)
        if (strcmp(tallies->item[i - 1].file, file) == 0)
            return &tallies->item[i - 1];
    grown = bt_grow(tallies->item, &tallies->room, tallies->n + 1, sizeof *grown);
    if (!grown)
        return NULL;
    tallies->item = grown;
    grown[tallies->n] = (struct tally){file, 0};
    return &grown[tallies->n++];
}

static void add_fault(struct bt_buffer *out, const struct bt_fault *fault)
{
    bt_buffer_name(out, fault->file);
    if (fault->line)
        bt_buffer_format(out, ":%zu", fault->line);
    if (fault->line && fault->column)
        bt_buffer_format(out, ":%zu", fault->column);
    bt_buffer_text(out, ": ");
    bt_buffer_name(out, fault->message);
    bt_buffer_text(out, "\n");
}

static void add_faults(struct bt_buffer *out, const struct bt_faults *faults,
                       struct tallies *tallies)
{
    for (size_t i = 0; i < faults->n; i++) {
        struct tally *tally = tally_of(tallies, faults->item[i].file);

        if (!tally) {
            out->failed = true;
            return;
        }
        if (tally->n++ < FAULTS_SHOWN)
            add_fault(out, &faults->item[i]);
    }
    for (size_t i = 0; i < tallies->n; i++) {
        if (tallies->item[i].n <= FAULTS_SHOWN)
            continue;
        bt_buffer_name(out, tallies->item[i].file);
        bt_buffer_format(out, ": and %zu more\n", tallies->item[i].n - FAULTS_SHOWN);
    }
}

enum exit_code say_faults(const struct bt_faults *faults)
{
    enum bt_status status = bt_faults_status(faults);
    struct tallies tallies = {0};
    struct bt_buffer out = {0};

    add_faults(&out, faults, &tallies);
    if (out.length)
        bt_save_to(STDERR_FILENO, out.text, out.length, NULL);
    if (out.failed || status == BT_ENOMEM)
        say_error(status = BT_ENOMEM, bt_status_text(BT_ENOMEM));
    bt_free(tallies.item);
    bt_buffer_clear(&out);
    return exit_for(status);
}

enum exit_code print_result(const struct bt_buffer *text, enum exit_code code)
{
    struct bt_error err;

    if (bt_buffer_status(text) != BT_OK)
        return say_error(BT_ENOMEM, bt_status_text(BT_ENOMEM));
    if (bt_save_to(STDOUT_FILENO, text->text, text->length, &err) != BT_OK)
        return say(EXIT_IOERR, "the result cannot be written: %s", err.message);
    return code;
}

bool say_in_colour(void)
{
    const char *no = getenv("NO_COLOR"), *term = getenv("TERM");

    return isatty(STDOUT_FILENO) && !(no && *no) && term && strcmp(term, "dumb") != 0;
}

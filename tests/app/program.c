/* SPDX-License-Identifier: GPL-3.0-or-later */
/* posix_openpt belongs to the X/Open part of POSIX. */
#define _XOPEN_SOURCE 700

#include "app/program.h"

#include <criterion/criterion.h>
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

extern char **environ;

enum { WORDS = 32, TEXT = 1024, NOBODY = 65534 };

/* Cut args in place into words. */
static void split(char *args, char *argv[WORDS])
{
    size_t n = 0;

    argv[n++] = NULL;
    for (char *c = args; *c;) {
        char stop = ' ';

        while (*c == ' ')
            c++;
        if (!*c)
            break;
        if (*c == '\'') {
            stop = '\'';
            c++;
        }
        cr_assert_lt(n, WORDS - 1);
        argv[n++] = c;
        c += strcspn(c, stop == ' ' ? " " : "'");
        if (*c)
            *c++ = '\0';
    }
    argv[n] = NULL;
}

/* In the child: take the conditions on and become the program.  It is opened while the
 * rights last: a checkout below /root is closed to others. */
static void become(char *args, const struct conditions *conditions, int out, int err)
{
    char *argv[WORDS], name[] = "benchtrue";
    const int program = open(BT_PROGRAM, O_RDONLY | O_CLOEXEC);

    if (conditions->stdout_to)
        out = open(conditions->stdout_to, O_WRONLY);
    if (setenv("TERM", "xterm", 1) != 0 ||
        (conditions->no_color ? setenv("NO_COLOR", "1", 1) : unsetenv("NO_COLOR")) != 0)
        _exit(127);
    if (conditions->file_limit) {
        const struct rlimit limit = {conditions->file_limit, conditions->file_limit};

        /* Ignored, so that write fails with EFBIG instead of ending the program. */
        if (signal(SIGXFSZ, SIG_IGN) == SIG_ERR || setrlimit(RLIMIT_FSIZE, &limit) != 0)
            _exit(127);
    }
    if (dup2(out, STDOUT_FILENO) < 0 || dup2(err, STDERR_FILENO) < 0)
        _exit(127);
    if (conditions->folder && chdir(conditions->folder) != 0)
        _exit(127);
    if (conditions->nobody && getuid() == 0 &&
        (setgid(NOBODY) != 0 || setuid(NOBODY) != 0))
        _exit(127);
    split(args, argv);
    argv[0] = name;
    fexecve(program, argv, environ);
    _exit(127);
}

/* Add what can be read; false at its end. */
static bool drain(int from, char **text, size_t *length)
{
    char piece[4096];
    ssize_t n = read(from, piece, sizeof piece);

    if (n <= 0)
        return false;
    *text = realloc(*text, *length + (size_t)n + 1);
    cr_assert_not_null(*text);
    memcpy(*text + *length, piece, (size_t)n);
    *length += (size_t)n;
    (*text)[*length] = '\0';
    return true;
}

static void collect(int out, int err, struct outcome *outcome)
{
    struct pollfd from[2] = {{out, POLLIN, 0}, {err, POLLIN, 0}};
    size_t length[2] = {0, 0};
    char **text[2] = {&outcome->out, &outcome->err};

    while (from[0].fd >= 0 || from[1].fd >= 0) {
        cr_assert_gt(poll(from, 2, 60000), 0, "the program does not end");
        for (int i = 0; i < 2; i++)
            if (from[i].revents && !drain(from[i].fd, text[i], &length[i]))
                from[i].fd = -1;
    }
}

/* Two ends for the program's stdout: a pipe, or a terminal. */
static void open_stdout(bool terminal, int ends[2])
{
    if (!terminal) {
        cr_assert_eq(pipe(ends), 0);
        return;
    }
    ends[0] = posix_openpt(O_RDWR | O_NOCTTY);
    if (ends[0] < 0) {
        cr_skip_test("no terminal can be opened here: %s", strerror(errno));
    }
    cr_assert_eq(grantpt(ends[0]), 0);
    cr_assert_eq(unlockpt(ends[0]), 0);
    ends[1] = open(ptsname(ends[0]), O_RDWR | O_NOCTTY);
    cr_assert_geq(ends[1], 0);
}

struct outcome run_under(const char *args, const struct conditions *conditions)
{
    struct outcome outcome = {-1, NULL, NULL};
    int out[2], err[2], status;
    char words[TEXT];
    pid_t child;

    cr_assert_lt(snprintf(words, sizeof words, "%s", args), TEXT);
    open_stdout(conditions->terminal, out);
    outcome.out = calloc(1, 1);
    outcome.err = calloc(1, 1);
    cr_assert_eq(pipe(err), 0);
    child = fork();
    cr_assert_geq(child, 0);
    if (child == 0) {
        close(out[0]);
        close(err[0]);
        become(words, conditions, out[1], err[1]);
    }
    close(out[1]);
    close(err[1]);
    collect(out[0], err[0], &outcome);
    close(out[0]);
    close(err[0]);
    cr_assert_eq(waitpid(child, &status, 0), child);
    if (WIFEXITED(status))
        outcome.code = WEXITSTATUS(status);
    return outcome;
}

struct outcome run(const char *args)
{
    struct conditions usual = {0};

    return run_under(args, &usual);
}

void outcome_clear(struct outcome *outcome)
{
    free(outcome->out);
    free(outcome->err);
    outcome->out = outcome->err = NULL;
}

void expect_run(const char *args, int code, const char *out, const char *err)
{
    struct outcome got = run(args);

    cr_expect_eq(got.code, code, "'%s' ended with %d, not %d: %s", args, got.code, code,
                 got.err);
    if (out)
        cr_expect_str_eq(got.out, out, "stdout of '%s' is\n%s\nnot\n%s", args, got.out,
                         out);
    if (err)
        cr_expect_str_eq(got.err, err, "stderr of '%s' is\n%s\nnot\n%s", args, got.err,
                         err);
    outcome_clear(&got);
}

const char *new_folder(char room[64])
{
    strcpy(room, "/tmp/benchtrue_cli_XXXXXX");
    cr_assert_not_null(mkdtemp(room));
    return room;
}

void remove_folder(const char *folder)
{
    DIR *dir = opendir(folder);
    const struct dirent *entry;
    char path[512];

    while (dir && (entry = readdir(dir))) {
        snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        if (strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0 &&
            unlink(path) != 0)
            remove_folder(path);
    }
    if (dir)
        closedir(dir);
    rmdir(folder);
}

void put_file(const char *folder, const char *name, const char *text)
{
    char path[256];
    int file;

    snprintf(path, sizeof path, "%s/%s", folder, name);
    file = open(path, O_WRONLY | O_CREAT | O_TRUNC, 0666);
    cr_assert_geq(file, 0);
    cr_assert_eq(write(file, text, strlen(text)), (ssize_t)strlen(text));
    close(file);
}

void expect_file(const struct outcome *got, const char *name)
{
    enum { ROOM = 65536 };
    char path[512], *text = calloc(1, ROOM);
    int file;

    cr_assert_not_null(text);
    snprintf(path, sizeof path, "%s/app/expected/%s", BT_TESTS_DIR, name);
    file = open(path, O_RDONLY);
    cr_assert_geq(file, 0, "no %s", path);
    cr_assert_gt(read(file, text, ROOM - 1), 0);
    close(file);
    cr_expect_str_eq(got->out, text, "%s: printed\n%s\nnot\n%s", name, got->out, text);
    free(text);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Wall time of a whole process against one that does nothing but load the same shared
 * libraries, started turn by turn.
 *
 *   bench_process LOADER PROGRAM [ARGUMENT]...
 *
 * The program's exit status must be 0 or 1 (a verdict of "outside" is a result), and it
 * must write something, before anything is timed.
 */
#include <fcntl.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { REPETITIONS = 300 };
static const double goal = 3;

static double now(void)
{
    struct timespec t;

    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* Exit status, -1 where there is none; standard output goes to out. */
static int start_and_wait(char *const argv[], int out)
{
    const pid_t child = fork();
    int status = 0;

    if (child == 0) {
        if (dup2(out, STDOUT_FILENO) >= 0)
            execv(argv[0], argv);
        _exit(127);
    }
    if (child < 0 || waitpid(child, &status, 0) != child || !WIFEXITED(status))
        return -1;
    return WEXITSTATUS(status);
}

/* Whether the program gives a result. */
static bool works(char *const argv[])
{
    FILE *out = tmpfile();
    int status;
    bool wrote;

    if (!out) {
        perror("bench_process: temporary file");
        return false;
    }
    status = start_and_wait(argv, fileno(out));
    wrote = lseek(fileno(out), 0, SEEK_END) > 0;
    fclose(out);
    if ((status == 0 || status == 1) && wrote)
        return true;
    fprintf(stderr, "bench_process: %s: exit status %d, %s\n", argv[0], status,
            wrote ? "with output" : "no output");
    return false;
}

int main(int argc, char *argv[])
{
    double best[2] = {HUGE_VAL, HUGE_VAL}, ratio;
    int nothing;

    if (argc < 3) {
        fprintf(stderr, "usage: bench_process LOADER PROGRAM [ARGUMENT]...\n");
        return 2;
    }
    nothing = open("/dev/null", O_WRONLY);
    if (nothing < 0) {
        perror("/dev/null");
        return EXIT_FAILURE;
    }
    {
        char *const loader[] = {argv[1], NULL};
        if (!works(argv + 2))
            return EXIT_FAILURE;
        if (start_and_wait(loader, nothing) != 0) {
            fprintf(stderr, "bench_process: %s does not run\n", argv[1]);
            return EXIT_FAILURE;
        }
        for (int i = 0; i < 2 * REPETITIONS; i++) {
            const double start = now();
            double took;
            start_and_wait(i % 2 ? argv + 2 : loader, nothing);
            took = now() - start;
            if (took < best[i % 2])
                best[i % 2] = took;
        }
    }
    close(nothing);
    ratio = best[1] / best[0];
    printf("whole process  %10.3f  %10.3f  %-32s %8.2f  %6.2f  %s\n", best[1] * 1e3,
           best[0] * 1e3, "loading the libraries (at most)", ratio, goal,
           ratio <= goal ? "met" : "MISSED");
    return EXIT_SUCCESS;
}

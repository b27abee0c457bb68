/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _GNU_SOURCE /* RTLD_NEXT, on_exit */
#include "forked-helper.h"

#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <spawn.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "film/helper-process.h"

/* The helper's own main(), under another name. */
#define main rb_decode_main
int rb_decode_main(int argc, char **argv);
#include "decode/main.c"
#undef main

/* The descriptor that the next helper is given. */
static _Thread_local int given = -1;

static bool is_on;

void forked_helper_use(bool on)
{
    is_on = on;
}

static void *next_of(const char *name)
{
    return dlsym(RTLD_NEXT, name);
}

/* Calls of the library film come here, since the program's own names come first. */
int posix_spawn_file_actions_adddup2(posix_spawn_file_actions_t *actions, int fd, int as)
{
    int (*real)(posix_spawn_file_actions_t *, int, int);
    *(void **)&real = next_of("posix_spawn_file_actions_adddup2");
    given = as == RB_HELPER_SOCKET ? fd : given;
    return real(actions, fd, as);
}

/* At once, before what looks for leaks in a process whose threads are gone. */
static void leave(int status, void *data)
{
    (void)data;
    _exit(status);
}

static _Noreturn void be_helper(int socket)
{
    sigset_t none;
    sigemptyset(&none);
    sigprocmask(SIG_SETMASK, &none, NULL);
    on_exit(leave, NULL);
    const int nothing = open("/dev/null", O_RDWR);
    dup2(nothing, STDIN_FILENO);
    dup2(nothing, STDOUT_FILENO);
    dup2(socket, RB_HELPER_SOCKET);
    char name[] = "readbreak-decode";
    char *words[] = { name, NULL };
    exit(rb_decode_main(1, words));
}

int posix_spawn(pid_t *pid, const char *path, const posix_spawn_file_actions_t *actions,
                const posix_spawnattr_t *attributes, char *const arguments[],
                char *const environment[])
{
    if (!is_on || strstr(path, "readbreak-decode") == NULL) {
        int (*real)(pid_t *, const char *, const posix_spawn_file_actions_t *,
                    const posix_spawnattr_t *, char *const[], char *const[]);
        *(void **)&real = next_of("posix_spawn");
        return real(pid, path, actions, attributes, arguments, environment);
    }
    const pid_t made = fork();
    if (made == 0) {
        be_helper(given);
    }
    *pid = made;
    return made > 0 ? 0 : errno;
}

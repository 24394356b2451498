/* A disk that fails when it is told to, and that can tell what was written in which order.
 *
 * Loaded before the C library (LD_PRELOAD). It looks only at files whose path holds "job book".
 * fail_at(n, err, lasting): the n-th write, sync or truncation from now on fails with errno err
 * (lasting: and all after it); n < 0 ends it. log_to(path): write down every operation; mark(n)
 * puts a mark between them. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <sys/syscall.h>
#include <sys/types.h>
#include <unistd.h>

static long countdown = -1, failed = 0;
static int failing = 0, lasting = 0, log_fd = -1;

void fail_at(long n, int err, int on) { countdown = n; failing = err; lasting = on; failed = 0; }
long failures(void) { return failed; }
void log_to(const char *path) {
    log_fd = path ? (int)syscall(SYS_openat, AT_FDCWD, path, O_CREAT | O_WRONLY | O_TRUNC, 0600) : -1;
}

struct record { char op; char pad[7]; int64_t offset; int64_t length; char path[240]; };

static void put(const void *data, size_t n) {
    while (n > 0) {
        long done = syscall(SYS_write, log_fd, data, n);
        if (done <= 0) return;
        data = (const char *)data + done;
        n -= done;
    }
}

static void note(char op, const char *path, off_t offset, size_t length, const void *data) {
    if (log_fd < 0) return;
    struct record r = {0};
    r.op = op; r.offset = offset; r.length = length;
    strncpy(r.path, path, sizeof r.path - 1);
    put(&r, sizeof r);
    if (data) put(data, length);
}

void mark(long n) { note('C', "", n, 0, NULL); }

static int ours(int fd, char *path) {
    char link[64];
    snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    ssize_t n = readlink(link, path, 239);
    if (n <= 0) return 0;
    path[n] = 0;
    return strstr(path, "job book") != NULL;
}

static int fails(void) {
    if (countdown < 0) return 0;
    if (countdown-- > 0) return 0;
    failed++;
    countdown = lasting ? 0 : -1;
    errno = failing;
    return 1;
}

#define NEXT(type, name) static __typeof__(type) real; if (!real) real = (__typeof__(type))dlsym(RTLD_NEXT, name)

ssize_t pwrite64(int fd, const void *data, size_t n, off64_t at) {
    char path[240];
    NEXT(ssize_t (*)(int, const void *, size_t, off64_t), "pwrite64");
    if (!ours(fd, path)) return real(fd, data, n, at);
    if (fails()) return -1;
    ssize_t done = real(fd, data, n, at);
    if (done > 0) note('W', path, at, done, data);
    return done;
}
ssize_t pwrite(int fd, const void *data, size_t n, off_t at) { return pwrite64(fd, data, n, at); }

ssize_t write(int fd, const void *data, size_t n) {
    char path[240];
    NEXT(ssize_t (*)(int, const void *, size_t), "write");
    if (!ours(fd, path)) return real(fd, data, n);
    if (fails()) return -1;
    off_t at = lseek(fd, 0, SEEK_CUR);
    ssize_t done = real(fd, data, n);
    if (done > 0) note('W', path, at, done, data);
    return done;
}

static int sync_it(int fd, int (*real)(int)) {
    char path[240];
    if (!ours(fd, path)) return real(fd);
    if (fails()) return -1;
    int done = real(fd);
    if (done == 0) note('S', path, 0, 0, NULL);
    return done;
}
int fsync(int fd) { NEXT(int (*)(int), "fsync"); return sync_it(fd, real); }
int fdatasync(int fd) { NEXT(int (*)(int), "fdatasync"); return sync_it(fd, real); }

int ftruncate64(int fd, off64_t length) {
    char path[240];
    NEXT(int (*)(int, off64_t), "ftruncate64");
    if (!ours(fd, path)) return real(fd, length);
    if (fails()) return -1;
    int done = real(fd, length);
    if (done == 0) note('T', path, length, 0, NULL);
    return done;
}
int ftruncate(int fd, off_t length) { return ftruncate64(fd, length); }

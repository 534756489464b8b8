/*
 * A disk whose every fsync takes BENCH_FSYNC_MS longer. What was spent is added up in the file BENCH_FSYNC_TOTAL:
 * two unsigned 64-bit numbers, calls and nanoseconds, so that it can be read while the program runs.
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <fcntl.h>
#include <stdint.h>
#include <stdlib.h>
#include <sys/mman.h>
#include <time.h>
#include <unistd.h>

struct total {
  uint64_t calls;
  uint64_t ns;
};

static struct total *total;
static struct timespec extra;

__attribute__((constructor)) static void begin(void) {
  const char *ms = getenv("BENCH_FSYNC_MS");
  const char *path = getenv("BENCH_FSYNC_TOTAL");
  long wanted = ms ? atol(ms) : 0;
  extra.tv_sec = wanted / 1000;
  extra.tv_nsec = (wanted % 1000) * 1000000L;
  if (!path) return;
  int fd = open(path, O_RDWR);
  if (fd < 0) return;
  void *at = mmap(0, sizeof(struct total), PROT_READ | PROT_WRITE, MAP_SHARED, fd, 0);
  close(fd);
  if (at != MAP_FAILED) total = at;
}

static uint64_t now_ns(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return (uint64_t)t.tv_sec * 1000000000ULL + (uint64_t)t.tv_nsec;
}

static int slow(const char *name, int fd) {
  int (*real)(int) = (int (*)(int))dlsym(RTLD_NEXT, name);
  uint64_t before = now_ns();
  int answer = real(fd);
  nanosleep(&extra, 0);
  if (total) {
    __sync_fetch_and_add(&total->calls, 1);
    __sync_fetch_and_add(&total->ns, now_ns() - before);
  }
  return answer;
}

int fsync(int fd) { return slow("fsync", fd); }
int fdatasync(int fd) { return slow("fdatasync", fd); }

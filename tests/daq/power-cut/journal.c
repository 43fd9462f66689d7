/*
 * Preloaded before a program that writes a logbook: notes every write, truncation, synchronisation and removal of the files whose
 * path begins with $JOURNAL_OF, in $JOURNAL, in their order. What a power cut leaves is then played from the notes: all
 * that was synchronised, and nothing, or any part, of what came after.
 * One note: char kind, uint32 length of the path, path, int64 offset, int64 length, and for a write its bytes.
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/types.h>
#include <sys/uio.h>
#include <unistd.h>

static int journal = -1;

static int path_of(int fd, char *path, size_t size) {
  char link[64];
  snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
  const ssize_t length = readlink(link, path, size - 1);
  if (length < 0) return 0;
  path[length] = 0;
  const char *of = getenv("JOURNAL_OF");
  return of && strncmp(path, of, strlen(of)) == 0;
}

static void note_path(char kind, char *path, int64_t offset, int64_t length, const void *bytes) {
  if (journal < 0) journal = open(getenv("JOURNAL"), O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
  uint32_t path_length = strlen(path);
  struct iovec parts[] = {{&kind, 1}, {&path_length, 4}, {path, path_length},
                          {&offset, 8}, {&length, 8}, {(void *)bytes, bytes ? length : 0}};
  ssize_t written = writev(journal, parts, 6);
  (void)written;
}

static void note(char kind, int fd, int64_t offset, int64_t length, const void *bytes) {
  char path[4096];
  if (path_of(fd, path, sizeof path)) note_path(kind, path, offset, length, bytes);
}

#define REAL(name) ((__typeof__(&name))dlsym(RTLD_NEXT, #name))

ssize_t pwrite64(int fd, const void *bytes, size_t length, off64_t offset) {
  const ssize_t done = REAL(pwrite64)(fd, bytes, length, offset);
  if (done > 0) note('w', fd, offset, done, bytes);
  return done;
}
ssize_t pwrite(int fd, const void *bytes, size_t length, off_t offset) {
  const ssize_t done = REAL(pwrite)(fd, bytes, length, offset);
  if (done > 0) note('w', fd, offset, done, bytes);
  return done;
}
int ftruncate64(int fd, off64_t length) {
  const int done = REAL(ftruncate64)(fd, length);
  if (done == 0) note('t', fd, 0, length, NULL);
  return done;
}
int ftruncate(int fd, off_t length) {
  const int done = REAL(ftruncate)(fd, length);
  if (done == 0) note('t', fd, 0, length, NULL);
  return done;
}
int fsync(int fd) {
  const int done = REAL(fsync)(fd);
  if (done == 0) note('s', fd, 0, 0, NULL);
  return done;
}
int fdatasync(int fd) {
  const int done = REAL(fdatasync)(fd);
  if (done == 0) note('s', fd, 0, 0, NULL);
  return done;
}
int unlink(const char *path) {
  const int done = REAL(unlink)(path);
  const char *of = getenv("JOURNAL_OF");
  if (done == 0 && of && strncmp(path, of, strlen(of)) == 0) note_path('u', (char *)path, 0, 0, NULL);
  return done;
}
/* Also what the program has told the world: a line on standard output that gives a device time. */
ssize_t write(int fd, const void *bytes, size_t length) {
  const off64_t offset = lseek64(fd, 0, SEEK_CUR);
  const ssize_t done = REAL(write)(fd, bytes, length);
  if (done > 0 && offset >= 0 && fd != journal) note('w', fd, offset, done, bytes);
  if (fd == 1 && journal >= 0 && done > 0) {
    char kind = 'm';
    uint32_t none = 0;
    int64_t zero = 0, size = done;
    struct iovec parts[] = {{&kind, 1}, {&none, 4}, {&zero, 8}, {&size, 8}, {(void *)bytes, done}};
    ssize_t written = writev(journal, parts, 5);
    (void)written;
  }
  return done;
}

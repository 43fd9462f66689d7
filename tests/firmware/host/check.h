#pragma once
#include <stdio.h>

/** Checks that count, for programs that exit with 1 when one failed. */
struct Checks {
  int done = 0;
  int failed = 0;

  static Checks& all() {
    static Checks checks;
    return checks;
  }

  int finish() const {
    printf("checked: %d\n", done);
    return failed == 0 ? 0 : 1;
  }
};

#define CHECK(condition)                                                 \
  do {                                                                   \
    Checks::all().done++;                                                \
    if (!(condition)) {                                                  \
      Checks::all().failed++;                                            \
      printf("%s:%d: wrong: %s\n", __FILE__, __LINE__, #condition); \
    }                                                                    \
  } while (false)

/** The vectors on the machine that runs the tests. */
#include "../vectors/check-vectors.h"
#include "check.h"

static void report(const char* name, bool right) {
  Checks::all().done++;
  if (right) return;
  Checks::all().failed++;
  printf("wrong: %s\n", name);
}

int main() {
  dashpot::check_vectors(report);
  return Checks::all().finish();
}

/** What the hobby IDE puts around a sketch, without its core. */
void setup();
void loop();

int main() {
  setup();
  for (;;) loop();
}

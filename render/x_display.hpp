#pragma once
// The X display's own ways to end a program, taken over: an error in a request is one more call that failed, and a
// display that dies ends the program with one line and the exit status of a machine that failed.

namespace warmbay::render {

/// Keeps from the person what is written to the standard error while it lives: not every driver can be asked. One that
/// was asked to say more (LIBGL_DEBUG) is heard. Only while no other thread runs.
class DriversUnheard {
 public:
  DriversUnheard();
  ~DriversUnheard();
  DriversUnheard(const DriversUnheard&) = delete;
  DriversUnheard& operator=(const DriversUnheard&) = delete;

 private:
  [[maybe_unused]] int kept_ = -1;  // the standard error meanwhile
};

/// After SDL has opened its video, before OpenGL. Does nothing where the windows are not X's.
void take_x_errors_over();
/// Drivers write on their own what has failed, before anyone else can say it; this asks them not to. Whoever has set
/// their variables keeps what was set. Before anything of OpenGL.
void quieten_drivers();

}  // namespace warmbay::render

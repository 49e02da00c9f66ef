// A style file while it is worked on: what is on the disk, what has become of it since, and the draft beside
// it that outlives the program.
//
// The draft ("style.json.draft") is written whole after every step, so that a closed browser, a killed
// program or a full disk loses the last step at most. It says which bytes of the style it began with: a style
// that something else has changed since is never written over.
#pragma once

#include <string>
#include <string_view>

#include "geometry/files/file_system.hpp"
#include "grading/live/style_text.hpp"

namespace lastwright {

class StyleDesk {
 public:
  // Takes up a draft that lies there. Refuses a style that another program has on its desk, and one that
  // cannot be read or is not JSON.
  static Result<StyleDesk> open(std::string path, FileSystem& system = real_file_system());

  [[nodiscard]] const std::string& path() const { return path_; }
  [[nodiscard]] const StyleText& style() const { return style_; }
  [[nodiscard]] bool resumed() const { return resumed_; }
  [[nodiscard]] bool changed() const { return style_.text() != base_; }
  // Whether the file on the disk is not what this work began with. Looks at it.
  [[nodiscard]] bool conflict() const;
  // Why the last step is not in the draft; empty when it is.
  [[nodiscard]] const std::string& draft_fault() const { return draft_fault_; }

  Status change(std::string says, const std::vector<JsonEdit>& edits);
  void replace(std::string says, std::string_view text);
  void go_to(std::size_t done);

  // Into the style file, whole or not at all; refuses where there is a conflict. The steps stay, and can be
  // taken back after it.
  Status save();
  // Into a new file beside the style, whose name it gives; the style's own file is taken up as it is now.
  Result<std::string> save_aside();
  // Forgets all steps and takes the file as it is now.
  Status take_file();

 private:
  StyleDesk(std::string path, FileSystem& system) : path_(std::move(path)), system_(&system) {}
  Status read();
  Status hold();  // the lock on the file as it is now
  Status take_draft();
  void write_draft();
  [[nodiscard]] std::string draft_path() const { return path_ + ".draft"; }

  std::string path_;
  FileSystem* system_;
  OpenFile lock_;
  std::string base_;  // the style file as it was read
  StyleText style_;
  bool resumed_ = false;
  std::string draft_fault_;
};

}  // namespace lastwright

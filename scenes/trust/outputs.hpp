#pragma once
// The outcome as files: a page for people, a table for spreadsheets, an object for programs.

#include <string>

#include "scenes/text/text.hpp"
#include "scenes/trust/runner.hpp"

namespace warmbay::scenes {

/// One self-contained page of HTML.
[[nodiscard]] std::string trust_html(const TrustResult& result, const Text& text);

/// case,group,source,mark,scene,check,unit,at_min,published,least,most,ours,difference,within,note: a row per check,
/// and one per case that was not run.
[[nodiscard]] std::string trust_csv(const TrustResult& result);

/// {"checks", "within", "outside", "cases_not_run", "seconds", "cases": [{..., "checks": [...]}]}
[[nodiscard]] std::string trust_json(const TrustResult& result);

/// A table per group and per case, for a README: which check uses up most of its tolerance.
[[nodiscard]] std::string trust_markdown(const TrustResult& result, const Text& text);

}  // namespace warmbay::scenes

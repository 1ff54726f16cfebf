#include "app/desktop/app.hpp"
namespace afterscope {
void App::StartReport() {}
}  // namespace afterscope

// SPDX-License-Identifier: GPL-3.0-or-later
#include "spice.h"

#include <ngspice/sharedspice.h>
#include <stdexcept>

namespace portwright::test {

namespace {

int ignoreText(char*, int, void*) { return 0; }
int refuseExit(int status, NG_BOOL, NG_BOOL, int, void*) { return status; }

void command(std::string text) { ngSpice_Command(text.data()); }

}  // namespace

Spice::Spice()
{
    static const bool ready = [] {
        ngSpice_Init(ignoreText, ignoreText, refuseExit, nullptr, nullptr, nullptr, nullptr);
        return true;
    }();
    (void)ready;
}

void Spice::run(const std::vector<std::string>& netlist)
{
    command("destroy all");
    command("remcirc");
    std::vector<std::string> lines = netlist;
    std::vector<char*> pointers;
    for (std::string& line : lines)
        pointers.push_back(line.data());
    pointers.push_back(nullptr);
    if (ngSpice_Circ(pointers.data()) != 0) throw std::runtime_error("ngspice did not take the circuit");
    command("run");
}

std::vector<std::complex<double>> Spice::vector(const std::string& name) const
{
    std::string text = name;
    const pvector_info info = ngGet_Vec_Info(text.data());
    if (!info || info->v_length < 1 || !info->v_compdata) throw std::runtime_error("ngspice has no vector " + name);
    std::vector<std::complex<double>> values;  // the library has one shared struct: copied before the next call
    for (int i = 0; i < info->v_length; ++i)
        values.emplace_back(info->v_compdata[i].cx_real, info->v_compdata[i].cx_imag);
    return values;
}

}  // namespace portwright::test

#if defined(__SANITIZE_ADDRESS__)
// ngspice 39 keeps some tables of its transmission lines to the end; our own leaks are still told.
extern "C" const char* __lsan_default_suppressions() { return "leak:libngspice\n"; }
#endif

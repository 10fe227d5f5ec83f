// SPDX-License-Identifier: GPL-3.0-or-later
#include "port_table.h"

#include <fstream>
#include <stdexcept>

namespace portwright::test {

namespace {

// Cells between commas; quotes hold commas together.
std::vector<std::string> cellsOf(const std::string& line)
{
    std::vector<std::string> cells(1);
    bool quoted = false;
    for (char c : line) {
        if (c == '"')
            quoted = !quoted;
        else if (c == ',' && !quoted)
            cells.emplace_back();
        else
            cells.back() += c;
    }
    return cells;
}

}  // namespace

double PortCase::number(const std::string& column) const
{
    const std::string& cell = text.at(column);
    return cell.empty() ? 0 : std::stod(cell);
}

std::vector<PortCase> portCases(const std::string& name)
{
    std::ifstream file(PORTWRIGHT_SOURCE_DIR "/tests/data/" + name);
    std::vector<PortCase> cases;
    std::vector<std::string> head;
    for (std::string line; std::getline(file, line);) {
        if (line.empty() || line[0] == '#') continue;
        const auto cells = cellsOf(line);
        if (head.empty()) {
            head = cells;
            continue;
        }
        PortCase c;
        for (std::size_t i = 0; i < head.size(); ++i)
            c.text[head[i]] = cells.at(i);
        cases.push_back(std::move(c));
    }
    if (cases.empty()) throw std::runtime_error("tests/data/" + name + " is missing or empty");
    return cases;
}

Air portTableAir()
{
    Air air = referenceAir();
    air.rho = 1.2;
    air.c = 343.2;
    return air;
}

}  // namespace portwright::test

// SPDX-License-Identifier: GPL-3.0-or-later
// The Opening station: fields of a port, what follows, trimming, making parts.
#include "app/desktop/components/fold_heading.h"
#include "app/desktop/components/table/value_table.h"
#include "app/desktop/session/housing_edits.h"
#include "app/desktop/session/port_cut.h"
#include "app/desktop/stations/stations.h"
#include "app/desktop/window/parts_window.h"
#include "core/document/project_file.h"
#include "core/port/geometry.h"
#include "tests/app/desktop/bench.h"

#include <catch2/catch.hpp>

#include <QDir>
#include <QLabel>
#include <QLineEdit>
#include <QLocale>
#include <QPushButton>
#include <QTest>

using namespace portwright;

namespace {

struct OpeningBench : Bench {
    OpeningBench()
    {
        window->workbench().choose(ported().id);
        document().edit("modern", [&](Project& p) {
            for (Opening& opening : p.housings.at(1).openings)
                if (auto* port = std::get_if<PortOpening>(&opening.kind)) port->classical = false;
        });
        window->showStation(int(Station::opening));
        settle();
        for (std::size_t i = 0; i < ported().openings.size(); ++i)
            if (std::holds_alternative<PortOpening>(ported().openings[i].kind)) index = i;
    }
    std::size_t index = 0;
    Housing ported() { return document().project().housings.at(1); }
    PortOpening port() { return std::get<PortOpening>(ported().openings.at(index).kind); }
    const Computed& computed() { return *window->workbench().chosenResult()->computed; }
    Form* form() { return window->editor(Station::opening)->form(); }
    FieldRow* field(const char* key)
    {
        return form()->row(QStringLiteral("openings/%1/%2").arg(index).arg(QLatin1String(key)));
    }
    void put(const char* key, double si)
    {
        FieldRow* row = field(key);
        INFO(key);
        REQUIRE(row);
        emit row->box()->committed(si);
        settle();
    }
    FoldHeading* fold(const char* name)
    {
        for (FoldHeading* one : form()->findChildren<FoldHeading*>())
            if (one->text() == QLatin1String(name)) return one;
        return nullptr;
    }
    QString words(const char* part)
    {
        for (QLabel* label : form()->findChildren<QLabel*>())
            if (label->text().contains(QLatin1String(part))) return label->text();
        return {};
    }
};

}  // namespace

TEST_CASE("each field of a port that applies to it has its row, and its value goes into the project")
{
    OpeningBench bench;
    bench.put("inner_flare_mm", 8e-3);
    bench.put("outer_flare_mm", 10e-3);
    bench.put("front_mm", 0.2);
    bench.put("x_mm", 0.06);
    bench.put("y_mm", 0.07);
    bench.put("obstacle_mm", 0.09);
    bench.put("separation_k", 1.2);
    CHECK(bench.port().innerFlare == 8e-3);
    CHECK(bench.port().outerFlare == 10e-3);
    CHECK(bench.port().front == 0.2);
    CHECK(bench.port().x == 0.06);
    CHECK(bench.port().y == 0.07);
    CHECK(bench.port().obstacle == 0.09);
    CHECK(bench.port().separationK == 1.2);
    CHECK_FALSE(bench.field("spacing_mm"));    // of several tubes only
    CHECK_FALSE(bench.field("shared_walls"));  // of slots only
    bench.put("count", 2);
    bench.put("spacing_mm", 0.08);
    CHECK(bench.port().spacing == 0.08);
    bench.document().edit("slot", [&](Project& p) {
        auto& port = std::get<PortOpening>(p.housings.at(1).openings.at(bench.index).kind);
        port.shape = PortShape::slot;
        port.width = 0.1, port.height = 0.02;
    });
    bench.settle();
    bench.put("shared_walls", 3);
    CHECK(bench.port().sharedWalls == 3);
    CHECK_FALSE(bench.field("diameter_mm"));
    bench.document().edit("classical", [&](Project& p) {
        std::get<PortOpening>(p.housings.at(1).openings.at(bench.index).kind).classical = true;
    });
    bench.settle();
    CHECK_FALSE(bench.field("inner_flare_mm"));  // the textbook sums do not know it
    CHECK(bench.field("inner_end"));
}

TEST_CASE("a length that is typed moves the inner end: what stands outside stays, and Inside follows at once")
{
    OpeningBench bench;
    const double length = bench.port().length, outside = 0.02;
    bench.put("inside_mm", length - outside);
    FieldRow* row = bench.field("length_mm");
    emit row->box()->previewed(0.2);
    bench.settle();
    CHECK(bench.field("inside_mm")->box()->si() == Approx(0.2 - outside));  // while it is typed
    CHECK(*bench.port().inside == Approx(length - outside));
    emit row->box()->committed(0.2);
    bench.settle();
    CHECK(bench.port().length == 0.2);
    CHECK(*bench.port().inside == Approx(0.2 - outside));
    bench.put("length_mm", 0.01);  // shorter than what stands outside: all of it does
    CHECK(*bench.port().inside == 0);
}

TEST_CASE("a second tube asks for nothing: the keyboard stays where the number was typed, and nothing unfolds")
{
    OpeningBench bench;
    QApplication::setActiveWindow(bench.window.get());
    bench.field("count")->takeFocus();
    bench.put("count", 2);
    REQUIRE(bench.field("spacing_mm"));
    CHECK(bench.field("count")->box()->hasFocus());
    CHECK_FALSE(bench.fold("Place")->isChecked());
}

namespace {

void addBend(OpeningBench& bench)
{
    for (QPushButton* button : bench.form()->findChildren<QPushButton*>())
        if (button->text() == Form::tr("Add a bend")) return button->click(), bench.settle();
}

QString faultAt(OpeningBench& bench)
{
    for (StateLine* line : bench.form()->findChildren<StateLine*>())
        if (line->isVisible() && line->mark() == Mark::cannot) return line->text();
    return {};
}

}  // namespace

TEST_CASE("a bend that is added has one bore, less where the length has no more for it, and the housing stays")
{
    OpeningBench bench;
    bench.fold("Bends")->setChecked(true);
    const double bore = bench.port().diameter;
    bench.put("length_mm", 2 * bore);
    addBend(bench);
    REQUIRE(bench.port().bends.size() == 1);
    CHECK(bench.port().bends[0].radius == Approx(bore).margin(0.5e-3));
    CHECK(bench.window->workbench().chosenResult()->computed);
    bench.document().history().undo();
    bench.put("length_mm", 1.2 * bore);  // a quarter round of one bore takes 1.57
    addBend(bench);
    CHECK(bench.port().bends[0].radius < 0.77 * bore);
    CHECK(bench.port().bends[0].radius >= bore / 2);
    CHECK(bench.window->workbench().chosenResult()->computed);
    bench.document().history().undo();
    bench.put("length_mm", 0.5 * bore);  // not even on half a bore
    addBend(bench);
    CHECK_FALSE(bench.window->workbench().chosenResult()->computed);
    CHECK(faultAt(bench).contains(QStringLiteral("make it longer")));
    const auto lines = bench.window->cards()->card(bench.ported().id)->verdicts()->verdicts();
    REQUIRE(lines.size() == 1);
    CHECK(lines[0].mark == Mark::cannot);
    CHECK(lines[0].text.contains(QStringLiteral("make it longer")));
}

TEST_CASE("a port that cannot be is no missing value: Opening is marked, and its form says why")
{
    OpeningBench bench;
    const auto opening = [&] { return stationsOf(bench.window->workbench())[std::size_t(Station::opening)]; };
    bench.put("x_mm", 0.005);
    CHECK(opening().state.mark == Mark::cannot);
    CHECK(opening().state.keyFigure.contains(QStringLiteral("cannot be")));
    CHECK(opening().field == QStringLiteral("openings/%1").arg(bench.index));
    CHECK(faultAt(bench).contains(QStringLiteral("beyond the wall")));
    bench.document().history().undo();
    bench.settle();
    CHECK(opening().state.mark != Mark::cannot);
    CHECK(faultAt(bench).isEmpty());
}

TEST_CASE("a port too large for the shell that was measured is the port's fault, not the cavity's")
{
    Bench bench(true, "larger-lower-measured");
    std::string id;
    for (const Housing& housing : bench.document().project().housings)
        if (!housing.cavity.deductions.empty()) id = housing.id;
    bench.window->workbench().choose(id);
    bench.window->showStation(int(Station::opening));
    std::size_t at = 0;
    const Housing& housing = *bench.window->workbench().chosenHousing();
    for (std::size_t i = 0; i < housing.openings.size(); ++i)
        if (std::holds_alternative<PortOpening>(housing.openings[i].kind)) at = i;
    bench.document().edit("wide", [&](Project& p) {
        for (Housing& one : p.housings)
            if (one.id == id) std::get<PortOpening>(one.openings[at].kind).diameter = 0.4;
    });
    bench.settle();
    const auto states = stationsOf(bench.window->workbench());
    CHECK(states[std::size_t(Station::opening)].state.mark == Mark::cannot);
    CHECK(states[std::size_t(Station::opening)].field == QStringLiteral("openings/%1").arg(at));
    CHECK(states[std::size_t(Station::cavity)].state.mark == Mark::fine);
    bool told = false;
    for (StateLine* line : bench.window->editor(Station::opening)->form()->findChildren<StateLine*>())
        told = told || (line->isVisible() && line->text().contains(QStringLiteral("the port takes")));
    CHECK(told);
}

TEST_CASE("bends are added and taken back, each one undo step, and have their angle and radius")
{
    OpeningBench bench;
    bench.fold("Bends")->setChecked(true);
    const int steps = bench.document().history().count();
    for (QPushButton* button : bench.form()->findChildren<QPushButton*>())
        if (button->text() == Form::tr("Add a bend")) {
            button->click();
            break;
        }
    bench.settle();
    REQUIRE(bench.port().bends.size() == 1);
    CHECK(bench.document().history().count() == steps + 1);
    bench.put("bends/0/radius_mm", 0.12);
    CHECK(bench.port().bends.at(0).radius == 0.12);
    CHECK(bench.fold("Bends")->isChecked());  // rows have been built anew; what was unfolded stays so
    CHECK(bench.fold("Bends")->remark().contains(QStringLiteral("90")));
    bench.document().history().undo();
    bench.document().history().undo();
    bench.settle();
    CHECK(bench.port().bends.empty());
}

TEST_CASE("a folded group opens for the field that is jumped to")
{
    OpeningBench bench;
    REQUIRE(bench.fold("Place"));
    bench.fold("Place")->setChecked(false);
    CHECK_FALSE(bench.field("x_mm")->isVisible());
    CHECK(bench.window->editor(Station::opening)->jumpTo(QStringLiteral("openings/%1/x_mm").arg(bench.index)));
    CHECK(bench.field("x_mm")->isVisible());
    CHECK(bench.field("x_mm")->box()->hasFocus());
}

TEST_CASE("a port that cannot be says so in a sentence")
{
    OpeningBench bench;
    bench.put("inner_flare_mm", 0.2);  // longer than the port itself
    const auto lines = bench.form()->findChildren<StateLine*>();
    const bool told = std::any_of(lines.begin(), lines.end(), [](StateLine* line) {
        return line->isVisible() && line->mark() == Mark::cannot && line->text().contains(QLatin1String("flare"));
    });
    CHECK(told);
}

TEST_CASE("the length for a tuning leaves the shell as it is: net volume and port's own stay one sum")
{
    OpeningBench bench;
    const double before = bench.ported().cavity.netVolume + outlineVolume(bench.port());
    const double wanted = *bench.computed().summary.fb - 7;
    const auto sized = lengthInHousing(bench.computed().model, bench.index, wanted);
    REQUIRE(sized);
    bench.document().edit("tune", [&](Project& p) { cutPort(p, 1, bench.index, sized->length); });
    bench.settle();
    CHECK(bench.ported().cavity.netVolume + outlineVolume(bench.port()) == Approx(before).epsilon(1e-6));  // of 1 mm3
    CHECK(*bench.computed().summary.fb == Approx(wanted).epsilon(5e-4));  // 0.05 mm of length, as fine as it is cut
}

TEST_CASE("the air of a port is told at half, as fed and double drive, the middle one as the cards have it")
{
    OpeningBench bench;
    bench.fold("Its air")->setChecked(true);
    ValueTable* table = nullptr;
    for (ValueTable* one : bench.form()->findChildren<ValueTable*>())
        if (one->accessibleName() == Form::tr("The port's air by drive")) table = one;
    REQUIRE(table);
    const auto speed = [&](int row) {
        return QLocale().toDouble(table->values()->text(row, 2).section(QChar(0x00A0), 0, 0));
    };
    CHECK(speed(0) < speed(1));
    CHECK(speed(1) < speed(2));
    const Curves& curves = bench.computed().curves;
    CHECK(speed(1) ==
          Approx(curves.portAir.at(0).maxCoeff()).epsilon(0.005));  // three digits, and between two grid points
}

namespace {

QPushButton* cutButton(OpeningBench& bench)
{
    for (QPushButton* button : bench.form()->findChildren<QPushButton*>())
        if (button->text().startsWith(Form::tr("It is cut"))) return button;
    return nullptr;
}

ValueTable* trimTable(OpeningBench& bench)
{
    for (ValueTable* one : bench.form()->findChildren<ValueTable*>())
        if (one->accessibleName() == Form::tr("Readings of the port")) return one;
    return nullptr;
}

void type(ValueTable& table, int row, int column, const QString& text)
{
    table.setFocus();
    table.setCurrentIndex(table.model()->index(row, column));
    QTest::keyClick(&table, Qt::Key_Return);
    QLineEdit* line = openLine(table);
    REQUIRE(line);
    line->selectAll();
    QTest::keyClicks(line, text);
    QTest::keyClick(line, Qt::Key_Return);
    QTest::qWait(1);
}

}  // namespace

TEST_CASE("trimming tells what to take off, and the length goes in when it is cut")
{
    OpeningBench bench;
    bench.fold("Trim to a tuning")->setChecked(true);
    const double now = *bench.computed().summary.fb, length = bench.port().length;
    CHECK_FALSE(bench.words("Say which tuning is wanted").isEmpty());
    bench.put("wanted_fb_hz", now + 12);
    CHECK(bench.port().wantedTuning == now + 12);
    CHECK_FALSE(bench.words("Enter what a sweep shows").isEmpty());
    CHECK(bench.port().readings.empty());  // the row to begin with is none yet
    ValueTable* table = trimTable(bench);
    REQUIRE(table);
    const int before = bench.document().history().count();
    type(*table, 0, 1, QLocale().toString(now, 'f', 3));
    bench.settle();
    CHECK(bench.document().history().count() == before + 1);
    REQUIRE(bench.port().readings.size() == 1);
    CHECK(bench.port().readings[0].length == length);
    CHECK(bench.port().readings[0].frequency == Approx(now).margin(1e-3));
    CHECK(bench.port().readings[0].readAs == ReadAs::impedanceDip);
    CHECK_FALSE(bench.words("below the tuning").isEmpty());
    CHECK_FALSE(bench.port().readings[0].uncertainty);
    QPushButton* cut = cutButton(bench);
    REQUIRE(cut);
    REQUIRE(cut->isVisible());
    CHECK_FALSE(bench.words("Cut, sweep again").isEmpty());
    const int steps = bench.document().history().count();
    cut->click();
    bench.settle();
    CHECK(bench.document().history().count() == steps + 1);
    CHECK(bench.port().length < length);
    CHECK(*bench.computed().summary.fb < now + 12);  // the first cut does not overshoot
    REQUIRE(bench.port().readings.size() == 2);
    CHECK(bench.port().readings[1].length == bench.port().length);
    CHECK(bench.port().readings[1].frequency == 0);
    CHECK_FALSE(cut->isVisible());  // not before it is measured again
    CHECK_FALSE(bench.words("sweep it again").isEmpty());
    type(*table, 1, 1, QLocale().toString(now + 3, 'f', 3));
    bench.settle();
    CHECK(cut->isVisible());
    bench.document().history().undo();
    bench.document().history().undo();
    CHECK(bench.port().length == length);
    CHECK(bench.port().readings.size() == 1);
}

TEST_CASE("a row not swept yet is empty, and what is typed into a cell counts at once")
{
    OpeningBench bench;
    bench.fold("Trim to a tuning")->setChecked(true);
    bench.put("wanted_fb_hz", *bench.computed().summary.fb + 12);
    ValueTable* table = trimTable(bench);
    REQUIRE(table);
    const auto cell = [&](int column, int role) { return table->model()->index(0, column).data(role).toString(); };
    CHECK(cell(1, Qt::DisplayRole).isEmpty());
    CHECK(cell(1, Qt::ToolTipRole) == Form::tr("not swept yet"));
    CHECK(cell(2, Qt::DisplayRole).isEmpty());
    CHECK(cell(3, Qt::DisplayRole) == Form::tr("dip"));
    const auto takeOff = [&] { return bench.fold("Trim to a tuning")->remark(); };
    type(*table, 0, 1, QStringLiteral("82"));
    bench.settle();
    const QString before = takeOff();
    CHECK_FALSE(before.isEmpty());
    QLineEdit* line = openLine(*table);  // Return went on to the uncertainty
    REQUIRE(line);
    line->selectAll();
    QTest::keyClicks(line, QStringLiteral("0.05"));
    bench.settle();
    CHECK(takeOff() != before);                         // while the cell is open
    CHECK_FALSE(bench.port().readings[0].uncertainty);  // and nothing is taken over yet
    QPushButton* cut = cutButton(bench);
    REQUIRE(cut);
    cut->click();
    bench.settle();
    REQUIRE(bench.port().readings.size() == 2);
    CHECK(bench.port().readings[0].uncertainty == 0.05);  // with the cut at the latest
    CHECK(bench.port().readings[1].readAs == ReadAs::impedanceDip);
}

TEST_CASE("what was measured of a port is kept by the file, and goes with a copy of the housing")
{
    OpeningBench bench;
    bench.fold("Trim to a tuning")->setChecked(true);
    bench.put("wanted_fb_hz", 75);
    ValueTable* table = trimTable(bench);
    REQUIRE(table);
    type(*table, 0, 1, QStringLiteral("70"));
    type(*table, 0, 2, QStringLiteral("0.4"));
    bench.settle();
    REQUIRE(bench.port().readings.size() == 1);
    CHECK(bench.port().readings[0].uncertainty == 0.4);
    const auto back = parseProject(projectText(bench.document().project()));
    REQUIRE(back);
    CHECK(back->project == bench.document().project());
    const Housing copied = copyOf(bench.document().project(), 1);
    const auto& copy = std::get<PortOpening>(copied.openings[bench.index].kind);
    CHECK(copy.readings == bench.port().readings);
}

TEST_CASE("driver and volume have their place among the alignments, and it follows the volume")
{
    OpeningBench bench;
    REQUIRE(bench.fold("Alignment"));
    const QString wanted = bench.fold("Alignment")->remark(), before = bench.words("alignment wants");
    CHECK_FALSE(before.isEmpty());
    bench.document().edit("larger", [](Project& p) { p.housings.at(1).cavity.netVolume *= 1.5; });
    bench.settle();
    CHECK(bench.fold("Alignment")->remark() == wanted);  // the driver's alone
    CHECK(bench.words("alignment wants") != before);     // what the actual volume costs
}

TEST_CASE("inner sizes of a cavity move the tuning of its port, and end the talk of an assumed shape")
{
    OpeningBench bench;
    const double compact = *bench.computed().summary.fb;
    CHECK_FALSE(bench.words("inner sizes are not given").isEmpty());
    bench.document().edit("sizes", [](Project& p) {
        p.housings.at(1).cavity.width = 0.1;  // a long one: more than half a metre deep
        p.housings.at(1).cavity.breadth = 0.1;
    });
    bench.settle();
    CHECK(bench.words("inner sizes are not given").isEmpty());
    CHECK(std::abs(*bench.computed().summary.fb / compact - 1) > 0.002);
    CHECK(bench.row(Station::cavity, "cavity/depth_mm"));
}

TEST_CASE("dragging the tuning in the chart retunes the port in one undo step, and Esc leaves all as it was")
{
    OpeningBench bench;
    FrequencyChart* chart = bench.window->centre()->charts()->chart(ChartsPage::level);
    REQUIRE_FALSE(chart->tuningHandle().isNull());
    const Project before = bench.document().project();
    const int steps = bench.document().history().count();
    emit chart->tuningDragged(80);
    bench.settle();
    CHECK(bench.document().previewing());
    CHECK(*bench.computed().summary.fb == Approx(80).epsilon(1e-3));
    emit chart->tuningDragged(76);
    emit chart->tuningDragGivenUp();
    bench.settle();
    CHECK(bench.document().project() == before);
    CHECK_FALSE(bench.document().previewing());
    CHECK(bench.document().history().count() == steps);
    emit chart->tuningDragged(80);
    emit chart->tuningDragged(77);
    emit chart->tuningDropped(77);
    bench.settle();
    CHECK(bench.document().history().count() == steps + 1);
    CHECK(*bench.computed().summary.fb == Approx(77).epsilon(1e-3));  // 0.1 mm of length is 0.03 Hz
    bench.document().history().undo();
    CHECK(bench.document().project() == before);
}

TEST_CASE("the port's end dragged in the cut is one change of its length, and its fields follow the hand")
{
    OpeningBench bench;
    const bool wide = GENERATE(true, false);
    if (wide) bench.window->resize(1700, 900);
    bench.settle();
    CutView* cut = nullptr;
    for (CutView* one : bench.window->findChildren<CutView*>())
        if (one->accessibleName() == MainWindow::tr("Large cut of the chosen housing")) cut = one;
    REQUIRE(cut);
    REQUIRE(cut->isVisible());
    const int steps = bench.document().history().count();
    const double length = bench.port().length;
    emit cut->lengthDragged(0, 0.15);
    bench.settle();
    CHECK(std::get<PortOpening>(bench.document().shown().housings.at(1).openings.at(bench.index).kind).length == 0.15);
    CHECK(bench.field("length_mm")->box()->si() == 0.15);
    emit cut->dragGivenUp();
    bench.settle();
    CHECK(bench.port().length == length);
    CHECK(bench.field("length_mm")->box()->si() == length);
    emit cut->lengthDragged(0, 0.145);
    emit cut->lengthDropped(0, 0.145);
    bench.settle();
    CHECK(bench.port().length == 0.145);
    CHECK(bench.document().history().count() == steps + 1);
    REQUIRE(cut->innerEndOf(0));  // in view to be dragged
    CHECK(cut->rect().contains(cut->innerEndOf(0)->toPoint()));
    bench.window->showStation(int(Station::driver));
    CHECK(cut->isVisible() == wide);
}

TEST_CASE("the tuning's way with the length is the same number as the console's")
{
    OpeningBench bench;
    const auto sized = tuningAt(bench.port().length, tuningOfCut(bench.computed().model, int(bench.index)));
    REQUIRE(sized);
    ValueRow* row = nullptr;
    for (ValueRow* one : bench.form()->findChildren<ValueRow*>())
        if (one->accessibleName().startsWith(Form::tr("1\u00A0mm longer"))) row = one;
    REQUIRE(row);
    row->window()->repaint();
    QString shown = row->number();
    shown.replace(QChar(0x2212), QLatin1Char('-'));
    CHECK(QLocale().toDouble(shown) == Approx(sized->tuningPerLength * 1e-3).epsilon(6e-3));  // three digits
}

TEST_CASE("parts are shown with their cautions, written into a folder, and a folder that cannot be is told")
{
    OpeningBench bench;
    emit bench.window->workbench().partsWanted();
    bench.settle();
    PartsWindow* parts = bench.window->parts();
    REQUIRE(parts);
    CHECK(parts->isVisible());
    CHECK(parts->listText().contains(QStringLiteral("battery negative off")));
    const QString folder = bench.file("parts");
    REQUIRE(parts->writeInto(folder));
    CHECK(parts->state()->mark() == Mark::holds);
    const QStringList names = QDir(folder).entryList(QDir::Files);
    CHECK(names.contains(QStringLiteral("parts.txt")));
    for (const char* ending : {".pdf", ".svg", ".dxf", ".stl"}) {
        INFO(ending);
        CHECK(std::any_of(names.begin(), names.end(),
                          [&](const QString& n) { return n.endsWith(QLatin1String(ending)); }));
    }
    CHECK_FALSE(parts->writeInto(bench.file("not/there/parts")));
    CHECK(parts->state()->mark() == Mark::over);
    CHECK(parts->state()->text().contains(QStringLiteral("parts")));
    const QString before = parts->listText();
    bench.put("diameter_mm", 60e-3);
    CHECK(parts->listText() != before);  // it follows the port
    bench.window->workbench().choose(bench.document().project().housings.at(0).id);
    bench.settle();
    CHECK_FALSE(parts->writeButton()->isEnabled());  // a sealed one has no port
}

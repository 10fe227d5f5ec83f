// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/table/value_table.h"
#include "app/desktop/measure/fresh_measurement.h"
#include "app/desktop/measure/measure_page.h"
#include "app/desktop/measure/measurement_list.h"
#include "app/desktop/measure/modes_page.h"
#include "app/desktop/measure/what_if_page.h"
#include "core/cavity/sections.h"
#include "core/cavity/solids.h"
#include "tests/app/desktop/bench.h"

#include <catch2/catch.hpp>

#include <QAccessible>
#include <QApplication>
#include <QClipboard>
#include <QDragEnterEvent>
#include <QDropEvent>
#include <QFile>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QMimeData>
#include <QPushButton>
#include <QTest>

#include <cmath>

using namespace portwright;

namespace {

struct MeasureBench : Bench {
    MeasureBench()
    {
        window->centre()->showPage(CentrePage::measurePage);
        settle();
    }
    MeasurePage& page() { return *window->centre()->measure(); }
    MeasureDesk& desk() { return page().desk(); }
    void add(MeasurementKind kind)
    {
        desk().add(freshMeasurement(kind));
        settle();
    }
    ValueTable* table() { return page().editor()->findChild<ValueTable*>(); }
    const Cavity& cavity() { return document().project().housings.at(0).cavity; }
    void type(int row, int column, const char* text)
    {
        ValueTable* sheet = table();
        sheet->setCurrentIndex(sheet->model()->index(row, column));
        QTest::keyClick(sheet, Qt::Key_Return);
        QLineEdit* line = openLine(*sheet);
        REQUIRE(line);
        line->selectAll();
        QTest::keyClicks(line, QString::fromUtf8(text));
        QTest::keyClick(line, Qt::Key_Return);
        settle();
    }
};

/// A box as a binary STL; without its last face (two triangles) where it is open.
QByteArray boxStl(float w, float b, float h, bool open)
{
    const std::array<std::array<float, 3>, 8> p{
        {{0, 0, 0}, {w, 0, 0}, {w, b, 0}, {0, b, 0}, {0, 0, h}, {w, 0, h}, {w, b, h}, {0, b, h}}};
    const std::vector<std::array<int, 3>> faces{{0, 2, 1}, {0, 3, 2}, {0, 1, 5}, {0, 5, 4}, {1, 2, 6}, {1, 6, 5},
                                                {2, 3, 7}, {2, 7, 6}, {3, 0, 4}, {3, 4, 7}, {4, 5, 6}, {4, 6, 7}};
    const auto count = quint32(open ? faces.size() - 2 : faces.size());
    QByteArray out(80, ' ');
    out.append(reinterpret_cast<const char*>(&count), 4);
    for (quint32 i = 0; i < count; ++i) {
        const std::array<float, 3> normal{0, 0, 0};
        out.append(reinterpret_cast<const char*>(normal.data()), 12);
        for (const int corner : faces[i])
            out.append(reinterpret_cast<const char*>(p[std::size_t(corner)].data()), 12);
        out.append(2, '\0');
    }
    return out;
}

void write(const QString& path, const QByteArray& bytes)
{
    QFile file(path);
    REQUIRE(file.open(QIODevice::WriteOnly));
    file.write(bytes);
}

bool waitFor(const std::function<bool()>& there) { return QTest::qWaitFor(there, 20000); }

void checkNames(QWidget* window)
{
    for (QWidget* widget : window->findChildren<QWidget*>()) {
        if (widget->focusPolicy() == Qt::NoFocus || !widget->isVisible()) continue;
        if (widget->inherits("QLineEdit") && widget->parentWidget()->inherits("QAbstractSpinBox")) continue;
        QAccessibleInterface* face = QAccessible::queryAccessibleInterface(widget);
        INFO(widget->metaObject()->className() << " in " << widget->parentWidget()->metaObject()->className());
        CHECK(face);
        if (face) CHECK_FALSE(face->text(QAccessible::Name).isEmpty());
    }
}

}  // namespace

TEST_CASE("every method can be begun, every control of it has a name, every help topic its place; undo takes all back")
{
    MeasureBench bench;
    const Project before = bench.document().project();
    for (int kind = 0; kind <= int(MeasurementKind::stated); ++kind) {
        bench.add(MeasurementKind(kind));
        CHECK(bench.desk().current() == kind);
        checkNames(bench.window.get());
        for (QWidget* widget : bench.page().findChildren<QWidget*>()) {
            const QString topic = widget->property("helpTopic").toString();
            if (topic.isEmpty()) continue;
            emit bench.window->workbench().helpWanted(topic);
            QFile file(":/help/" + topic.section('#', 0, 0) + ".html");
            INFO(topic.toStdString());
            REQUIRE(file.open(QIODevice::ReadOnly));
            if (topic.contains('#'))
                CHECK(QString::fromUtf8(file.readAll()).contains("name=\"" + topic.section('#', 1) + "\""));
        }
    }
    for (int part = MeasurePage::readings; part <= MeasurePage::whatIf; ++part) {
        bench.page().showPart(part);
        bench.settle();
        checkNames(bench.window.get());
    }
    CHECK(bench.document().history().count() == 7);
    while (bench.document().history().canUndo())
        bench.document().history().undo();
    bench.settle();
    CHECK(bench.document().project() == before);
}

TEST_CASE("fillings typed by keyboard become a volume, and the housing is computed with it once it is used")
{
    MeasureBench bench;
    bench.add(MeasurementKind::fill);
    for (int i = 0; i < 2; ++i)
        bench.table()->addRow();
    bench.settle();
    bench.type(0, 0, "4,9");
    bench.type(1, 0, "4900 ml");
    bench.type(2, 0, "4.9 L");
    const auto& fill = std::get<FillMeasurement>(bench.cavity().measurements.at(0).method);
    REQUIRE(fill.volumes.size() == 3);
    for (const double volume : fill.volumes)
        CHECK(volume == Approx(4.9e-3).epsilon(1e-12));
    CHECK(bench.document().history().undoText().contains("Poured back"));
    REQUIRE(bench.desk().fromMeasurements());
    CHECK(bench.desk().fromMeasurements()->value == Approx(4.9e-3).epsilon(1e-9));  // nothing is taken off yet
    CHECK(bench.desk().inForce()->stated);
    bench.desk().editCavity("use", [](Cavity& c) { c.netVolume = 0; });
    bench.settle();
    const auto* result = bench.window->workbench().chosenResult();
    REQUIRE(result->computed);
    CHECK(result->computed->model.housing.cavity.netVolume == Approx(4.9e-3).epsilon(1e-9));
    const auto stations = stationsOf(bench.window->workbench());
    CHECK(stations[std::size_t(Station::cavity)].state.keyFigure.contains("4.9"));
}

TEST_CASE("a driver taken off the bare shell makes the net volume smaller by its line")
{
    MeasureBench bench;
    Measurement stated;
    stated.method = StatedVolume{5e-3, 0.1e-3};
    bench.desk().add(stated);
    bench.desk().editCavity("off", [](Cavity& c) {
        Deduction driver;
        driver.kind = DeductionKind::driver;
        driver.volume = 0.4e-3;
        c.deductions.push_back(driver);
    });
    bench.settle();
    REQUIRE(bench.desk().fromMeasurements());
    CHECK(bench.desk().fromMeasurements()->value == Approx(4.6e-3).epsilon(1e-9));
    CHECK(bench.row(Station::cavity, "cavity/deductions/0/volume_l"));
}

TEST_CASE("what a bare shell will hold is taken off by one click and one step, which undo takes back")
{
    MeasureBench bench;
    Measurement stated;
    stated.method = StatedVolume{8e-3, 0.1e-3};
    bench.desk().add(stated);
    bench.settle();
    QPushButton* off = nullptr;
    for (QPushButton* button : bench.page().findChildren<QPushButton*>())
        if (button->text().startsWith("Take off the driver") || button->text().startsWith("Take off driver"))
            off = button;
    REQUIRE(off);
    REQUIRE(off->isVisible());
    const double bare = bench.desk().fromMeasurements()->value;
    const int steps = bench.document().history().count();
    QTest::mouseClick(off, Qt::LeftButton);
    bench.settle();
    CHECK(bench.document().history().count() == steps + 1);
    CHECK(bench.desk().fromMeasurements()->value < bare);
    CHECK(bench.desk().fromMeasurements()->forgotten.empty());
    CHECK_FALSE(off->isVisible());
    bench.document().history().undo();
    bench.settle();
    CHECK(bench.desk().fromMeasurements()->value == bare);
    CHECK(off->isVisible());
}

TEST_CASE("readings far apart are told to disagree, and one set aside counts no more")
{
    MeasureBench bench;
    for (const double volume : {5e-3, 5.05e-3, 6e-3}) {
        Measurement stated;
        stated.method = StatedVolume{volume, 0.05e-3};
        bench.desk().add(stated);
    }
    bench.settle();
    CHECK(bench.desk().disagrees(2));
    QListWidget* list = bench.page().list()->list();
    CHECK(list->item(2)->text().contains("disagrees"));
    list->item(2)->setCheckState(Qt::Unchecked);
    bench.settle();
    CHECK(bench.cavity().measurements.at(2).unused);
    CHECK_FALSE(bench.desk().disagrees(2));
    CHECK(bench.desk().fromMeasurements()->value == Approx(5.025e-3).epsilon(1e-6));  // the mean of two equal weights
}

TEST_CASE("sections pasted from a spreadsheet are one step and give the volume of a prism")
{
    MeasureBench bench;
    bench.add(MeasurementKind::sections);
    const int steps = bench.document().history().count();
    QApplication::clipboard()->setText("At\tShape\tWidth\tHeight\n0\trectangle\t100\t150\n100\trectangle\t100\t150\n"
                                       "300\trectangle\t100\t150\n");
    bench.table()->setCurrentIndex(bench.table()->model()->index(0, 0));
    bench.table()->paste();
    bench.settle();
    CHECK(bench.document().history().count() == steps + 1);
    REQUIRE(bench.desk().readings().size() == 1);
    CHECK(bench.desk().readings()[0].volume == Approx(0.1 * 0.15 * 0.3).epsilon(1e-9));
    CHECK(bench.row(Station::cavity, "cavity/driver_at_mm"));  // a shape is known now
}

TEST_CASE("a row of sections taken out of the middle leaves the outlines with their rows")
{
    MeasureBench bench;
    Measurement m = freshMeasurement(MeasurementKind::sections);
    auto& sections = std::get<SectionsMeasurement>(m.method).sections;
    Section outline{.at = 0.3, .shape = SectionShape::outline};
    outline.points = {{0, 0}, {0.1, 0}, {0.05, 0.08}};
    sections.push_back(outline);
    bench.desk().add(m);
    bench.settle();
    bench.table()->setCurrentIndex(bench.table()->model()->index(1, 0));
    bench.table()->removeRows();
    bench.settle();
    const auto& left = std::get<SectionsMeasurement>(bench.cavity().measurements.at(0).method).sections;
    REQUIRE(left.size() == 2);
    CHECK(left[1].points == outline.points);
    CHECK(left[0].shape == SectionShape::rectangle);
}

TEST_CASE("another kind of solid keeps the lengths they share, and its sizes are typed below the list")
{
    MeasureBench bench;
    bench.add(MeasurementKind::solids);
    CHECK(bench.desk().readings()[0].error.has_value());  // just begun: no invented size counts
    bench.desk().editMethod<SolidsMeasurement>(
        "size", [](SolidsMeasurement& m) { m.steps[0].solid = BoxSolid{0.15, 0.15, 0.2}; });
    bench.settle();
    auto tables = bench.page().editor()->findChildren<ValueTable*>();
    REQUIRE(tables.size() == 2);
    TableRows rows = tables[0]->values()->rows();
    rows[0][2].value = 4;  // cylinder
    emit tables[0]->edited(rows, "Change Solid");
    bench.settle();
    const auto& step = std::get<SolidsMeasurement>(bench.cavity().measurements.at(0).method).steps.at(0);
    REQUIRE(std::holds_alternative<CylinderSolid>(step.solid));
    CHECK(std::get<CylinderSolid>(step.solid).height == 0.2);
    CHECK(std::get<CylinderSolid>(step.solid).diameter == 0.15);
    TableRows sizes = tables[1]->values()->rows();
    sizes[0][1].value = 0.2;
    emit tables[1]->edited(sizes, "Change Size");
    bench.settle();
    CHECK(bench.desk().readings()[0].volume == Approx(pi * 0.01 * 0.2).epsilon(1e-9));
}

TEST_CASE("a dropped scan is read away from the window, guessed in millimetres, its opening closed, in one step")
{
    MeasureBench bench;
    const QString path = bench.file("box.stl");
    write(path, boxStl(150, 100, 300, true));
    const int steps = bench.document().history().count();
    QMimeData data;
    data.setUrls({QUrl::fromLocalFile(path)});
    QDragEnterEvent enter(QPoint(100, 100), Qt::CopyAction, &data, Qt::LeftButton, Qt::NoModifier);
    QApplication::sendEvent(&bench.page(), &enter);
    CHECK(enter.isAccepted());
    QDropEvent drop(QPointF(100, 100), Qt::CopyAction, &data, Qt::LeftButton, Qt::NoModifier);
    QApplication::sendEvent(&bench.page(), &drop);
    REQUIRE(waitFor([&] { return !bench.page().scans().reading().running(); }));
    bench.settle();
    CHECK(bench.document().history().count() == steps + 2);  // a scan added, and read
    const auto& scan = std::get<ScanMeasurement>(bench.cavity().measurements.at(0).method);
    CHECK(scan.volume == Approx(0.15 * 0.1 * 0.3).epsilon(1e-6));  // single precision in the file
    CHECK(scan.unit == 1e-3);
    const auto read = bench.page().scans().loaded(scan);
    REQUIRE(read);
    REQUIRE(read->picture.openings.size() == 1);
    CHECK(read->picture.openings[0].area == Approx(0.15 * 0.1).epsilon(1e-6));
    REQUIRE(waitFor([&] { return bench.page().scans().crossings(scan).has_value(); }));
    CHECK(*bench.page().scans().crossings(scan) == 0);
}

TEST_CASE("a file that is no mesh is refused in one sentence, and the project stays as it was")
{
    MeasureBench bench;
    bench.add(MeasurementKind::scan);
    const Project before = bench.document().project();
    write(bench.file("words.stl"), "these are words\n");
    bench.page().readScan(bench.file("words.stl"));
    REQUIRE(waitFor([&] { return !bench.page().scans().reading().running(); }));
    CHECK_FALSE(bench.page().scans().refusal().isEmpty());
    CHECK(bench.document().project() == before);
}

TEST_CASE("a cancelled scan changes nothing")
{
    MeasureBench bench;
    bench.add(MeasurementKind::scan);
    const Project before = bench.document().project();
    write(bench.file("box.stl"), boxStl(150, 100, 300, false));
    bench.page().readScan(bench.file("box.stl"));
    bench.page().scans().reading().cancel();
    QTest::qWait(200);
    CHECK(bench.document().project() == before);
}

TEST_CASE("modes of a box are those of the formula, and driver and port are warned where one is loud")
{
    MeasureBench bench;
    bench.add(MeasurementKind::solids);
    bench.desk().editMethod<SolidsMeasurement>(
        "long", [](SolidsMeasurement& m) { m.steps[0].solid = BoxSolid{0.12, 0.15, 0.6}; });
    bench.page().showPart(MeasurePage::modes);
    ModesPage* page = bench.page().modesPage();
    REQUIRE(waitFor([&] { return page->modes() != nullptr; }));
    const double c = airAt(bench.document().project().air.value_or(AirConditions{}))->c;
    for (int n = 1; n <= 2; ++n)  // along the length; 1 % as the modes are promised
        CHECK(page->modes()->frequency.at(std::size_t(n - 1)) == Approx(n * c / 2 / 0.6).epsilon(0.01));
    CHECK(page->modesTable()->values()->rowCount() == 12);
    CHECK(page->modesTable()->values()->text(0, 2).startsWith("100"));  // at the end wall pressure is greatest
    bool warned = false;
    for (const QLabel* label : page->findChildren<QLabel*>())
        warned = warned || label->text().contains("driver");
    CHECK(warned);
}

TEST_CASE(
    "where driver and port sit is of the project: one step, undone, kept by the file, and no mode is computed anew")
{
    MeasureBench bench;
    bench.add(MeasurementKind::solids);
    bench.desk().editMethod<SolidsMeasurement>(
        "long", [](SolidsMeasurement& m) { m.steps[0].solid = BoxSolid{0.12, 0.15, 0.6}; });
    bench.page().showPart(MeasurePage::modes);
    ModesPage* page = bench.page().modesPage();
    REQUIRE(waitFor([&] { return page->modes() != nullptr; }));
    const CavityModes* before = page->modes();
    const int steps = bench.document().history().count();
    ValueTable* table = page->placesTable();
    const QString start = table->values()->text(0, 3);
    table->setCurrentIndex(table->model()->index(0, 3));
    QTest::keyClick(table, Qt::Key_Return);
    QLineEdit* line = openLine(*table);
    REQUIRE(line);
    line->selectAll();
    QTest::keyClicks(line, "150");
    QTest::keyClick(line, Qt::Key_Return);
    bench.settle();
    CHECK(bench.document().history().count() == steps + 1);
    CHECK(page->modes() == before);
    const auto& solids = std::get<SolidsMeasurement>(bench.cavity().measurements.at(0).method);
    REQUIRE_FALSE(solids.places.empty());
    CHECK(solids.places[0].part == PlacedPart::driver);
    CHECK(solids.places[0].at[2] == Approx(0.15));
    const auto back = parseProject(projectText(bench.document().project()));
    REQUIRE(back);
    CHECK(back->project == bench.document().project());
    bench.document().history().undo();
    bench.settle();
    CHECK(std::get<SolidsMeasurement>(bench.cavity().measurements.at(0).method).places.empty());
    CHECK(table->values()->text(0, 3) == start);
}

TEST_CASE("a changed shape computes the modes anew, and only the last shape's are shown")
{
    MeasureBench bench;
    bench.add(MeasurementKind::solids);
    bench.page().showPart(MeasurePage::modes);
    ModesPage* page = bench.page().modesPage();
    for (const double length : {0.4, 0.5, 0.7}) {
        bench.desk().editMethod<SolidsMeasurement>(
            "length", [length](SolidsMeasurement& m) { m.steps[0].solid = BoxSolid{0.12, 0.15, length}; });
        bench.settle();
    }
    REQUIRE(waitFor([&] { return !page->task().running(); }));
    REQUIRE(page->modes());
    const double c = airAt(bench.document().project().air.value_or(AirConditions{}))->c;
    CHECK(page->modes()->frequency.front() == Approx(c / 2 / 0.7).epsilon(0.01));
}

TEST_CASE("what-ifs show the core's own outcomes and change nothing until one is taken over")
{
    MeasureBench bench;
    const Project before = bench.document().project();
    bench.page().showPart(MeasurePage::whatIf);
    WhatIfPage* page = bench.page().whatIfPage();
    REQUIRE(waitFor([&] { return !page->task().running(); }));
    const auto outcome = outcomeOf(before, 0, Heat{}, bench.window->workbench().cursor());
    REQUIRE(outcome);
    const QString shown = page->table()->values()->text(4, 3);
    CHECK(shown.contains(QString::number(*outcome->after, 'f', 0)));
    CHECK(bench.document().project() == before);
    page->table()->setCurrentIndex(page->table()->model()->index(5, 1));
    bench.settle();
    QPushButton* apply = nullptr;
    for (QPushButton* button : page->findChildren<QPushButton*>())
        if (button->text().contains("height")) apply = button;
    REQUIRE(apply);
    apply->click();
    CHECK(bench.document().project().air->altitude == 1500);
    bench.document().history().undo();
    CHECK(bench.document().project() == before);
}

TEST_CASE("tuning and cut length come with their uncertainty in the Cavity station")
{
    MeasureBench bench;
    bench.window->workbench().choose(bench.document().project().housings.at(1).id);  // the ported one
    bench.document().edit("u", [](Project& p) { p.housings.at(1).cavity.netUncertainty = 0.2e-3; });
    bench.window->showStation(int(Station::cavity));
    bench.settle();
    const auto told = [&] {
        for (const QLabel* label : bench.window->editor(Station::cavity)->form()->findChildren<QLabel*>())
            if (label->text().startsWith(QChar(0x00B1)) && label->isVisible()) return true;
        return false;
    };
    CHECK(waitFor(told));
}

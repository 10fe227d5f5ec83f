// SPDX-License-Identifier: GPL-3.0-or-later
// What a workshop makes the chosen housing's ports from: the list as it will be written, with its cautions, and the
// few choices it depends on.
#pragma once

#include "app/desktop/session/workbench.h"
#include "app/desktop/stations/room_row.h"
#ifndef Q_MOC_RUN  // moc stumbles over <numbers>
#include "core/parts/part_set.h"
#include "plots/sheet/template_pdf.h"
#endif

#include <QWidget>

class QComboBox;
class QPlainTextEdit;
class QPushButton;
class QVBoxLayout;

namespace portwright {

class FieldRow;
class QuestionBar;
class StateLine;
class TextLine;

class PartsWindow : public QWidget {
    Q_OBJECT
public:
    explicit PartsWindow(Workbench& workbench, QWidget* parent = nullptr);

    void refresh();                         ///< for the chosen housing as it now is
    void write();                           ///< into the folder named; asks first where parts would be replaced
    bool writeInto(const QString& folder);  ///< all files or none; what failed is told
    QString listText() const;               ///< cut list, pieces, what cannot be made, cautions
    PartOptions& options() { return options_; }
    StateLine* state() const { return state_; }
    QuestionBar* question() const { return question_; }
    QPushButton* writeButton() const { return write_; }
    TextLine* folderLine() const { return folder_; }
    QuantityBox* wallBox() const { return wall_->box(); }
    QuantityBox* landBox() const { return land_->box(); }
    QComboBox* flangeChoice() const { return flange_; }
    QComboBox* screwChoice() const { return screws_; }

protected:
    void showEvent(QShowEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;

private:
    /// What a choice is of use for.
    enum class Made { always, fromTube, fromPanels, fromFreePanels, printed, flangeable, flanged, screwed, bent };
    FieldRow* quantity(const QString& label, double low, double high, const QString& meaning, Made made);
    FieldRow* length(const QString& label, double low, double high, const QString& meaning, Made made,
                     double PartOptions::* which);
    FieldRow* length(const QString& label, double low, double high, const QString& meaning, Made made,
                     std::optional<double> PartOptions::* which);
    void room(const RoomSize& size);
    void bar(const QString& label, Made made, std::vector<portwright::Stock> PartOptions::* which);
    QWidget* buildChoices();
    QWidget* buildFolderRow();
    void stockRows();
    void printRows();
    void flangeRows();
    QComboBox* choice(const QString& label, const QStringList& items, const QString& meaning, Made made);
    std::optional<Housing> housing() const;
    bool isMade(Made made) const;  ///< by a port of the housing
    void showChoices();
    QString usualFolder() const;
    Result<std::vector<PartFile>> filesToWrite() const;
    void chooseFolder();
    void closeQuestion();

    Workbench& workbench_;
    PartOptions options_;
    Paper paper_;
    std::optional<Result<PartSet>> parts_;
    std::optional<Housing> of_;
    PartOptions with_;
    std::string job_;  ///< its title
    std::vector<std::function<void()>> refreshers_;
    std::vector<std::pair<QWidget*, Made>> rows_;
    QVBoxLayout* column_ = nullptr;
    FieldRow *wall_ = nullptr, *land_ = nullptr;
    QComboBox *flange_ = nullptr, *screws_ = nullptr;
    StateLine* unprinted_;  ///< why nothing is printed
    QPlainTextEdit* list_;
    StateLine* state_;
    QuestionBar* question_;
    TextLine* folder_;
    bool folderTyped_ = false;
    QPushButton* write_;
};

}  // namespace portwright

// SPDX-License-Identifier: GPL-3.0-or-later
// What a workshop makes the chosen housing's ports from: the list as it will be written, with its cautions, and the
// few choices it depends on.
#pragma once

#include "app/desktop/window/workbench.h"
#ifndef Q_MOC_RUN  // moc stumbles over <numbers>
#include "core/parts/part_set.h"
#include "plots/template_pdf.h"
#endif

#include <QWidget>

class QPlainTextEdit;
class QPushButton;
class QVBoxLayout;

namespace portwright {

class FieldRow;
class StateLine;

class PartsWindow : public QWidget {
    Q_OBJECT
public:
    explicit PartsWindow(Workbench& workbench, QWidget* parent = nullptr);

    void refresh();                         ///< for the chosen housing as it now is
    bool writeInto(const QString& folder);  ///< all files or none; what failed is told
    QString listText() const;               ///< cut list, pieces, what cannot be made, cautions
    PartOptions& options() { return options_; }
    StateLine* state() const { return state_; }
    QPushButton* writeButton() const { return write_; }

protected:
    void showEvent(QShowEvent* event) override;

private:
    void length(QVBoxLayout& column, const QString& label, double low, double high, const QString& meaning,
                const std::function<double()>& read, const std::function<void(double)>& write);
    QWidget* buildChoices();
    std::optional<Housing> housing() const;
    Result<std::vector<PartFile>> filesToWrite() const;
    void writeByDialog();

    Workbench& workbench_;
    PartOptions options_;
    Paper paper_;
    std::optional<Result<PartSet>> parts_;
    std::optional<Housing> of_;
    PartOptions with_;
    std::vector<std::function<void()>> refreshers_;
    QPlainTextEdit* list_;
    StateLine* state_;
    QPushButton* write_;
};

}  // namespace portwright

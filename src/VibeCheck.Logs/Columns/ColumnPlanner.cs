using System.Globalization;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Columns;

/// <summary>Decides which columns of a log are read, and as what: names them, then chooses time, IMU, motors and the rest.</summary>
internal sealed class ColumnPlanner
{
    private const string NamesNoMotor = "names no motor";

    private readonly LogForm _form;
    private readonly ReadOptions _options;
    private readonly string _path;

    private readonly List<ColumnDraft> _columns;
    private readonly List<Warning> _warnings = [];
    private ImuColumnChoice _imu = ImuColumnChoice.None;
    private ColumnDraft? _time;
    private ColumnDraft? _motorId;
    private ColumnDraft? _imuId;
    private bool _timeIsText;

    private ColumnPlanner(LogForm form, ReadOptions options, string path)
    {
        (_form, _options, _path) = (form, options, path);
        _columns = ColumnNaming.Of(form, options, path);
    }

    /// <exception cref="InputFaultException">The columns, or what the user says about them, cannot be used.</exception>
    internal static ColumnPlan Plan(LogForm form, ReadOptions options, string path)
    {
        var planner = new ColumnPlanner(form, options, path);
        planner.RequireNames();
        planner.WarnOfGuesses();
        bool needsTime = (options.RowsPerSecond ?? options.Columns?.RowsPerSecond) is null;
        (planner._time, planner._timeIsText) = TimeColumnChoice.Choose(form, path, planner._columns, needsTime);
        planner.ChooseIds();
        planner._imu = ImuColumnChoice.Choose(
            planner._columns,
            options,
            planner._imuId is not null,
            planner._warnings,
            (problem, remedy) => planner.Fault(form.HeaderLine, problem, remedy)
        );
        planner.ChooseOthers();
        planner.WarnOfNameless();
        return planner.Planned();
    }

    /// <summary>The plan from headers, units row, columns file and the user's options, whether or not the log can be read with
    /// it.</summary>
    internal static ColumnPlan PlanHeaders(LogForm form, ReadOptions options, string path) =>
        new ColumnPlanner(form, options, path).Planned();

    private ColumnPlan Planned() =>
        new()
        {
            Columns = [.. _columns.Select(c => c.Planned())],
            Warnings = [.. _warnings],
            TimeIndex = _time?.Index,
            MotorIdIndex = _motorId?.Index,
            ImuIdIndex = _imuId?.Index,
            AccelerationIndices = [.. _imu.Acceleration.Select(a => a?.Index)],
            RateIndices = [.. _imu.Rates.Select(r => r?.Index)],
            TimeIsText = _timeIsText,
        };

    /// <exception cref="InputFaultException">There is no header, and no columns file that describes the numbered columns.</exception>
    private void RequireNames()
    {
        if (!_form.HasHeader && _columns.All(c => c.Channel is null))
        {
            string row = string.Join((char)_form.Separator, _form.FirstRows[0]);
            throw Fault(
                _form.DataLine,
                $"there is no header above the numbers (this line holds '{CellText.Cut(row)}')",
                $"Say what the columns are: vibecheck read {_path} --write-columns columns.toml numbers them and shows their values; "
                    + $"check the file and give it with --columns columns.toml. Or add a first line such as "
                    + $"time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2."
            );
        }
    }

    private void WarnOfGuesses()
    {
        foreach (ColumnGuess guess in Planned().Guesses(_form))
        {
            _warnings.Add(
                new(
                    "looks-like",
                    $"{guess.Columns} ({guess.Why}) look like {guess.Text}, but "
                        + $"{(_form.HasHeader ? "their headers do not say so" : "nothing confirms it")}: they are not used. A columns file "
                        + $"settles it (vibecheck read --write-columns)."
                )
            );
        }
    }

    private void ChooseIds()
    {
        bool motorColumns = _columns.Any(c => c.Channel is { IsMotor: true });
        bool namesInHeaders = _columns.Any(c => c.Channel is { IsMotor: true, NamesMotor: true } || c.SaidMotor is not null);
        _motorId = motorColumns && !namesInHeaders ? First(Quantity.MotorId) : null;
        _imuId = First(Quantity.ImuId);
        if (_motorId is not null)
        {
            _motorId.Used = true;
            TakeTemperatureOfNamedEscs(_motorId);
        }

        if (_imuId is not null && !_columns.Any(c => c.Channel?.Quantity == Quantity.Acceleration))
        {
            _imuId = null;
        }

        if (_imuId is not null)
        {
            _imuId.Used = true;
        }
    }

    /// <summary>Where rows are named by ESC, a bare "temp" is the temperature of the ESC.</summary>
    private void TakeTemperatureOfNamedEscs(ColumnDraft names)
    {
        ColumnDraft? temp = _columns.FirstOrDefault(c => c.Channel is { Quantity: Quantity.MotorTemp, Doubt: not null });
        if (temp is not null && names.Header.Contains("esc", StringComparison.OrdinalIgnoreCase) && First(Quantity.EscTemp) is null)
        {
            temp.Channel = temp.Channel! with
            {
                Quantity = Quantity.EscTemp,
                Doubt = "the header says only \"temp\"; read as the ESC's temperature, because the rows are named by ESC",
            };
        }
    }

    private ColumnDraft? First(Quantity quantity) => _columns.FirstOrDefault(c => c.Channel?.Quantity == quantity);

    /// <summary>Motor columns need a motor, in the header or in the row. Of the other kinds the first column is used.</summary>
    private void ChooseOthers()
    {
        var taken = new HashSet<(Quantity, int?, string?, string?)>();
        foreach (ColumnDraft column in _columns.Where(c => c.Channel is not null && !c.Used && c.NotUsedWhy is null))
        {
            Channel channel = column.Channel!;
            if (channel.IsMotor && !channel.NamesMotor && column.SaidMotor is null && _motorId is null)
            {
                column.NotUsedWhy = NamesNoMotor;
                continue;
            }

            if (WhyAloneOfNoUse(channel.Quantity) is string why)
            {
                column.NotUsedWhy = why;
                continue;
            }

            if (!taken.Add((channel.Quantity, channel.MotorNumber, channel.MotorName, column.SaidMotor)))
            {
                column.NotUsedWhy = "another column holds the same";
                continue;
            }

            column.Used = true;
        }
    }

    /// <summary>The reason why a column was not used, for kinds that are chosen as a set; null for kinds that are chosen one by
    /// one.</summary>
    private string? WhyAloneOfNoUse(Quantity quantity) =>
        quantity switch
        {
            Quantity.Time => _time is null ? "the rows are counted instead" : "another time column is used",
            Quantity.Acceleration or Quantity.Rate or Quantity.ImuId => "there is no acceleration beside it",
            Quantity.MotorId => "the headers name the motors",
            _ => null,
        };

    private void WarnOfNameless()
    {
        ColumnDraft[] nameless = [.. _columns.Where(c => c.NotUsedWhy == NamesNoMotor)];
        if (nameless.Length > 0)
        {
            string which =
                nameless.Length == 1
                    ? $"'{CellText.Cut(nameless[0].Header)}' names"
                    : string.Create(
                        CultureInfo.InvariantCulture,
                        $"{nameless.Length} columns such as '{CellText.Cut(nameless[0].Header)}' name"
                    );
            _warnings.Add(
                new(
                    "motors-unknown",
                    $"{which} no motor and {(nameless.Length == 1 ? "is" : "are")} left out: write the motor into the header (M1_rpm), "
                        + $"or say it in a columns file."
                )
            );
        }
    }

    private InputFaultException Fault(int line, string problem, string remedy) => new(new InputFault(_path, line, null, problem, remedy));
}

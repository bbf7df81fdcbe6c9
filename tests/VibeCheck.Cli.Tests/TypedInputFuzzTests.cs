using System.Globalization;
using System.Text.RegularExpressions;
using VibeCheck.FlightMaker.Pipeline;

namespace VibeCheck.Cli.Tests;

/// <summary>Whatever a user's edit changes in the files of a job, the tool answers or says where the file is wrong; it never fails with an
/// internal error.</summary>
public sealed partial class TypedInputFuzzTests : IDisposable
{
    private const int Seed = 20260601;

    private readonly ScratchFolder _scratch = new();

    public void Dispose() => _scratch.Dispose();

    private static void IsAnswered(CommandRun run, string what, string? file)
    {
        Assert.True(
            run.ExitCode is ExitCode.Done or ExitCode.WrongUsage or ExitCode.UnusableInput or ExitCode.NotComparable,
            $"{what}\nexit {run.ExitCode}\n{run.Error}"
        );
        Assert.False(run.ExitCode == ExitCode.Done && NotANumber().IsMatch(run.Output), $"{what}\n{run.Output}");
        if (run.ExitCode == ExitCode.UnusableInput)
        {
            string[] told = [.. run.Error.Split('\n').Where(l => l.StartsWith("vibecheck: ", StringComparison.Ordinal))];
            Assert.True(
                told.Length > 0
                    && told.All(l =>
                        l.Contains(file ?? ".toml: line ", StringComparison.Ordinal)
                        || (file is null && l.Contains(".csv: line ", StringComparison.Ordinal))
                    ),
                $"{what}\n{run.Error}"
            );
            Assert.True(told.All(l => l.Length < 1200), $"{what}\n{run.Error}");
        }
    }

    /// <summary>Runs the command for the plan as JSON, as text with the uncertainty budget, or as the bench card.</summary>
    private static CommandRun Shims(int i, string survey, string airframe) =>
        CommandRun.Of([
            "shims",
            survey,
            "--airframe",
            airframe,
            .. (i % 3) switch
            {
                0 => (string[])["--json", "-"],
                1 => ["--budget"],
                _ => ["--card", "-"],
            },
        ]);

    private static Random Seeded(string name) => new(Seed + name.Length);

    [Fact]
    [Trait("Category", "Slow")]
    public void Airframes_with_any_key_changed_are_answered_or_refused_with_their_place()
    {
        string airframe =
            File.ReadAllText(Repository.Sample("reshim-hexa", "airframe.toml"))
            + "\n[gauge]\nresolution_deg = 0.05\naccuracy_deg = 0.1\nrepeatability_deg = 0.02\n"
            + "[screws]\nlength_mm = 10\ndiameter_mm = 3\nclamped_mm = 3\nthread_depth_mm = 7\n";
        Random random = Seeded(nameof(airframe));
        for (int i = 0; i < 600; i++)
        {
            string text = TypedMutations.Toml(airframe, random);
            IsAnswered(Shims(i, Repository.Sample("reshim-hexa", "survey.csv"), _scratch.File("a.toml", text)), $"case {i}:\n{text}", null);
        }
    }

    [Fact]
    public void Bolts_and_kits_with_any_key_changed_are_answered_or_refused_with_their_place()
    {
        string[] parts =
        [
            "[bolts]\npattern = \"16x19\"\nturn_deg = 30\n",
            "[bolts]\npattern = \"cross\"\ncircle_mm = 25\n",
            "[bolts]\npattern = \"three\"\ncircle_in = 1\n",
            "[bolts]\npattern = \"two\"\nalong_mm = 20\n",
            "[bolts]\nplaces_mm = [[8, 9.5], [-8, 9.5], [0, -9]]\n[shim_kit]\nthickness_mm = [0.1, 0.2]\nmax_stack = 3\ncount = [9, 9]\n",
            "[bolts]\nacross_in = 1\nalong_in = 1\n[shim_kit]\nthickness_in = [0.002, 0.005]\n",
        ];
        string motors = string.Concat(
            Enumerable
                .Range(1, 6)
                .Select(m =>
                    $"[[motor]]\nid = \"M{m}\"\nazimuth_deg = {60 * m - 30}\narm_m = 0.4\nspin = \"{(m % 2 == 0 ? "cw" : "ccw")}\"\n"
                )
        );
        Random random = Seeded(nameof(parts));
        for (int i = 0; i < 400; i++)
        {
            string text = TypedMutations.Toml(parts[i % parts.Length], random) + motors;
            IsAnswered(Shims(i, Repository.Sample("reshim-hexa", "survey.csv"), _scratch.File("a.toml", text)), $"case {i}:\n{text}", null);
        }
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void Surveys_with_any_cell_changed_are_answered_or_refused_with_their_place()
    {
        string survey = File.ReadAllText(Repository.Sample("reshim-hexa", "survey.csv"));
        string wide =
            "motor,when,where,direction,angle_deg,low_side,gauge,knock,shim_left_deg,shim_right_deg,shims,note\n"
            + "M1,as-found,frame,across,0.0,level,straight,,,,,\n"
            + "M1,as-found,mount,across,0.4,,turned,before,0.6,0.2,right 0.2,warm\nM1,as-left,mount,across,0.0,level,,,,,none,\n";
        Random random = Seeded(nameof(survey));
        for (int i = 0; i < 800; i++)
        {
            string text = TypedMutations.Survey(i % 2 == 0 ? survey : wide, random);
            IsAnswered(
                Shims(i, _scratch.File("survey.csv", text), Repository.Sample("reshim-hexa", "airframe.toml")),
                $"case {i}:\n{text}",
                "survey.csv"
            );
        }
    }

    [Fact]
    public void Jobs_with_any_key_changed_are_refused_with_their_place_or_read()
    {
        // The flights do not exist as logs, so only the job file is tested.
        foreach (string name in (string[])["airframe.toml", "survey.csv", "b.csv", "a.csv", "c.toml"])
        {
            _scratch.File(name, "");
        }

        const string Job =
            "title = \"t\"\nairframe = \"airframe.toml\"\nsurvey = \"survey.csv\"\ncolumns = \"c.toml\"\n[thresholds]\nchange_db = "
            + "1\nchange_c = 2\nflight_scatter_db = 1\nflight_scatter_c = 1\n"
            + "[[before]]\nimu = \"b.csv\"\nambient_c = 20\nclock_offset_s = 0.5\nimu_unit = 1\nname = \"n\"\n[[after]]\nimu = "
            + "[\"a.csv\"]\nesc = \"c.toml\"\n";
        const string Stages =
            "airframe = \"airframe.toml\"\n[[stage]]\nname = \"one\"\ndate = \"2026-05-31\"\n[[stage.flight]]\nimu = "
            + "\"b.csv\"\n[[stage]]\nname = \"two\"\ndate = \"2026-06-01\"\n[[stage.flight]]\nimu = \"a.csv\"\n";
        Random random = Seeded(nameof(Stages));
        for (int i = 0; i < 500; i++)
        {
            string text = TypedMutations.Toml(i % 2 == 0 ? Job : Stages, random);
            CommandRun run = CommandRun.Of("compare", _scratch.File("job.toml", text), "--json", "-");
            Assert.Equal(ExitCode.UnusableInput, run.ExitCode);
            IsAnswered(run, $"case {i}:\n{text}", null);
        }
    }

    [Fact]
    public void Columns_files_with_any_key_changed_are_answered_or_refused_with_their_place()
    {
        string log = _scratch.File(
            "log.csv",
            "t,a,b,c,d\n"
                + string.Concat(
                    Enumerable
                        .Range(0, 60)
                        .Select(i => string.Create(CultureInfo.InvariantCulture, $"{i / 100.0},0.1,0.{i % 7},-1,{3000 + i}\n"))
                )
        );
        const string Columns =
            "rows_per_second = 100\n[[column]]\nheader = \"t\"\nis = \"time\"\nunit = \"s\"\n[[column]]\nheader = \"a\"\nis = "
            + "\"acc_x\"\nunit = \"g\"\nscale = 1.0\n[[column]]\nheader = \"b\"\nis = \"acc_y\"\nunit = \"g\"\n"
            + "[[column]]\nheader = \"c\"\nis = \"acc_z\"\nunit = \"g\"\n[[column]]\nheader = \"d\"\nis = \"rpm\"\nmotor = \"M1\"\n";
        Random random = Seeded(nameof(Columns));
        for (int i = 0; i < 300; i++)
        {
            string text = TypedMutations.Toml(Columns, random);
            IsAnswered(
                CommandRun.Of("read", log, "--columns", _scratch.File("columns.toml", text), "--json", "-"),
                $"case {i}:\n{text}",
                null
            );
        }
    }

    [GeneratedRegex(@"\bNaN\b|∞|\bInfinity\b")]
    private static partial Regex NotANumber();
}

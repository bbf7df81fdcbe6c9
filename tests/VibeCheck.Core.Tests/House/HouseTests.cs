using System.Text.RegularExpressions;
using System.Xml.Linq;
using ArchUnitNET.Domain;
using ArchUnitNET.Fluent.Slices;
using ArchUnitNET.Loader;

namespace VibeCheck.Core.Tests.House;

/// <summary>The code follows the plan of docs/architecture.md.</summary>
public sealed partial class HouseTests
{
    private static readonly Dictionary<string, Architecture> s_architecture = HousePlan.Folders.Keys.ToDictionary(
        project => project,
        project => new ArchLoader().LoadAssemblies(System.Reflection.Assembly.Load("VibeCheck." + project)).Build(),
        StringComparer.Ordinal
    );

    public static TheoryData<string> WithFolders => [.. HousePlan.Folders.Keys];

    [Theory]
    [MemberData(nameof(WithFolders))]
    public void Folders_use_only_what_the_arrows_reach(string project)
    {
        string[] forAll = HousePlan.ForAll[project];
        string[] beyond =
        [
            .. Uses(project)
                .Where(u => !forAll.Contains(u.To) && (forAll.Contains(u.From) || !HousePlan.Reached(project, u.From).Contains(u.To)))
                .Select(u => $"{u.From} uses {u.To}: {u.Example}")
                .Distinct()
                .Order(StringComparer.Ordinal),
        ];
        Assert.True(beyond.Length == 0, "No arrow of docs/architecture.md allows this:\n" + string.Join("\n", beyond));
    }

    [Theory]
    [Trait("Category", "Slow")]
    [MemberData(nameof(WithFolders))]
    public void Every_arrow_of_the_plan_is_used(string project)
    {
        HashSet<(string, string)> uses = [.. Uses(project).Select(u => (u.From, u.To))];
        string[] idle =
        [
            .. HousePlan
                .Folders[project]
                .SelectMany(f => f.Value.Where(to => !uses.Contains((f.Key, to))).Select(to => $"{f.Key} --> {to}")),
        ];
        Assert.Empty(idle);
    }

    [Theory]
    [MemberData(nameof(WithFolders))]
    public void Every_folder_is_in_the_plan(string project)
    {
        string[] unknown =
        [
            .. TypesOf(project)
                .Select(t => FolderOf(t, project))
                .Distinct()
                .Where(f => !HousePlan.ForAll[project].Contains(f) && !HousePlan.Folders[project].ContainsKey(f)),
        ];
        Assert.True(
            unknown.Length == 0,
            "Add a line to HousePlan and the picture in docs/architecture.md for: " + string.Join(", ", unknown)
        );
    }

    [Theory]
    [MemberData(nameof(WithFolders))]
    public void No_folders_use_each_other_in_a_loop(string project)
    {
        // Each namespace is a separate slice, sub-folders included.
        Assert.True(
            SliceRuleDefinition
                .Slices()
                .Matching($"VibeCheck.{project}.(**)")
                .Should()
                .BeFreeOfCycles()
                .HasNoViolations(s_architecture[project])
        );
        foreach (string folder in HousePlan.Folders[project].Keys)
        {
            Assert.DoesNotContain(folder, HousePlan.Reached(project, folder));
        }
    }

    [Theory]
    [InlineData("Core")]
    [InlineData("Logs")]
    [InlineData("Reports")]
    [InlineData("Cli")]
    public void The_namespace_of_every_file_is_its_folder(string project) =>
        Assert.Empty(WithOtherNamespace(Path.Combine(Repository.Root, "src", "VibeCheck." + project)));

    [Fact]
    public void Projects_refer_only_to_those_of_the_plan()
    {
        foreach ((string project, string[] below) in HousePlan.Projects)
        {
            string file = Path.Combine(Repository.Root, "src", $"VibeCheck.{project}", $"VibeCheck.{project}.csproj");
            IEnumerable<string> found = XDocument
                .Load(file)
                .Descendants("ProjectReference")
                .Select(r => Path.GetFileNameWithoutExtension(r.Attribute("Include")!.Value.Replace('\\', '/'))["VibeCheck.".Length..]);
            Assert.Equal(below.Order(StringComparer.Ordinal), found.Order(StringComparer.Ordinal));
        }
    }

    [Fact]
    public void The_page_shows_the_plan()
    {
        string page = File.ReadAllText(Path.Combine(Repository.Root, "docs", "architecture.md")).ReplaceLineEndings("\n");
        string[] pictures = [.. Mermaid().Matches(page).Select(m => m.Groups[1].Value)];
        Assert.Equal([HousePlan.Picture(), HousePlan.Picture("Logs"), HousePlan.Picture("Reports")], pictures);
    }

    // Sentences for users are made in Reports/Text. Texts for programmers, such as the message of an exception or a tooltip, may be
    // sentences.
    [Fact]
    public void Core_writes_no_sentences()
    {
        string core = Path.Combine(Repository.Root, "src", "VibeCheck.Core");
        string[] sentences =
        [
            .. from file in Directory.EnumerateFiles(core, "*.cs", SearchOption.AllDirectories)
            from literal in Literals.Of(File.ReadAllText(file))
            where literal.Words >= 3 && !literal.IsForProgrammers
            select $"{Path.GetRelativePath(core, file)}:{literal.Line}: {literal.Text}",
        ];
        Assert.True(
            sentences.Length == 0,
            "Make these causes with numbers, and their words in Reports/Text:\n" + string.Join("\n", sentences)
        );
    }

    [Theory]
    [InlineData("return $\"No hover in flight {string.Join(\", \", names)} today.\";", 5)]
    [InlineData("var why = \"the split is not known\";", 5)]
    [InlineData("// \"words of a comment do not count\"", 0)]
    [InlineData("throw new ArgumentException(\"must have two stages\", nameof(x));", 0)]
    [InlineData("throw new ArgumentException(\n    \"must have two stages\",\n    nameof(x)\n);", 0)]
    [InlineData("throw new ArgumentException(\n    nameof(x)\n);\nvar why = \"the split is not known\";", 5)]
    [InlineData("var unit = \"m/s²\"; var code = \"order-1-stands-out\"; var c = '\"';", 1)]
    public void Literals_are_found_with_their_words(string code, int most) =>
        Assert.Equal(most, Literals.Of(code).Where(l => !l.IsForProgrammers).Select(l => l.Words).DefaultIfEmpty(0).Max());

    private static IEnumerable<IType> TypesOf(string project) => s_architecture[project].Types.Where(t => IsOf(t, project));

    // Generic parameters and arrays have no namespace.
    private static bool IsOf(IType type, string project) =>
        type.Namespace?.FullName is string name
        && (name == "VibeCheck." + project || name.StartsWith($"VibeCheck.{project}.", StringComparison.Ordinal));

    private static string FolderOf(IType type, string project) => type.Namespace.FullName[("VibeCheck." + project).Length..].TrimStart('.');

    private static IEnumerable<(string From, string To, string Example)> Uses(string project) =>
        from type in TypesOf(project)
        from dependency in type.Dependencies
        where IsOf(dependency.Target, project)
        let uses = (
            From: FolderOf(type, project),
            To: FolderOf(dependency.Target, project),
            Example: $"{type.Name} -> {dependency.Target.Name}"
        )
        where uses.From != uses.To
        select uses;

    private static IEnumerable<string> WithOtherNamespace(string project) =>
        from file in Directory.EnumerateFiles(project, "*.cs", SearchOption.AllDirectories)
        let found = Declaration().Match(File.ReadAllText(file))
        let folder = Path.GetRelativePath(Path.GetDirectoryName(project)!, Path.GetDirectoryName(file)!)
            .Replace(Path.DirectorySeparatorChar, '.')
        where found.Success && found.Groups[1].Value != folder
        select $"{file}: namespace {found.Groups[1].Value}, folder {folder}";

    [GeneratedRegex(@"^namespace ([\w.]+)", RegexOptions.Multiline)]
    private static partial Regex Declaration();

    [GeneratedRegex(@"```mermaid\n(.*?)```", RegexOptions.Singleline)]
    private static partial Regex Mermaid();
}
